"""What solving a job gives: arrays with named axes, and findings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.blend_record import BlendRecord
from linesizer.domain.branch_result import BranchResult
from linesizer.domain.charge_result import ChargeResult as ChargeResult
from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.finding import Finding
from linesizer.domain.job import Job
from linesizer.domain.proposal import Proposals, SizeProposal
from linesizer.domain.route import Line

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class ConditionResult:
    """The cycle at every condition; arrays have shape (conditions,).

    Where the discharge line cannot pass its flow, what the compressor gives against it (discharge state, powers, heat
    rejected) is NaN, and flows and liquid are those without a line.
    """

    mass_flow_kg_s: FloatArray
    compressor_flow_kg_s: FloatArray
    discharge_C: FloatArray
    discharge_Pa: FloatArray
    discharge_J_kg: FloatArray
    evaporating_Pa: FloatArray
    condensing_Pa: FloatArray
    liquid_Pa: FloatArray
    liquid_C: FloatArray
    liquid_J_kg: FloatArray
    compressor_W: FloatArray
    electric_W: FloatArray
    heat_rejection_W: FloatArray


@dataclass(frozen=True, slots=True)
class DoubleRiserResult:
    """A double riser at work; arrays have shape (conditions,), ``corner_`` ones (corners,).

    ``pattern`` is 0 where both tubes flow and lift oil, 1 where the small one carries alone, 2 where the seal is blown
    out.  ``small_share`` is the small tube's part of the flow.  ``changeover_W`` is the cooling, at the condition's
    temperatures, from which on both tubes lift; ``seal_at_changeover_m`` what the trap must hold just below it, where
    the small tube alone costs ``drop_at_changeover_Pa`` and ``penalty_at_changeover_K``; ``seal_needed_m`` what it must
    hold at the condition itself.
    """

    leg: str
    small: str
    large: str
    seal_m: float
    pattern: NDArray[np.intp]
    small_share: FloatArray
    small_ratio: FloatArray
    large_ratio: FloatArray
    alone_ratio: FloatArray
    changeover_W: FloatArray
    drop_at_changeover_Pa: FloatArray
    penalty_at_changeover_K: FloatArray
    seal_at_changeover_m: FloatArray
    seal_needed_m: FloatArray
    corner_pattern: NDArray[np.intp]
    corner_seal_needed_m: FloatArray
    corner_alone_ratio: FloatArray
    corner_changeover_W: FloatArray
    corner_seal_at_changeover_m: FloatArray


@dataclass(frozen=True, slots=True)
class LiquidBudget:
    """Where the subcooling goes on the way to the valve, in this order; arrays have shape (conditions,), [K].

    ``subcooling_K`` less the others is ``margin_K``; ``lift_K`` and ``heat_K`` are negative where a fall or a cold leg
    gives some back.
    """

    subcooling_K: FloatArray
    friction_K: FloatArray
    fittings_K: FloatArray
    parts_K: FloatArray
    lift_K: FloatArray
    heat_K: FloatArray
    margin_K: FloatArray


@dataclass(frozen=True, slots=True)
class LegResult:
    """The legs of a line in the order of flow.

    Arrays of shape (legs,): ``inner_diameter_m``, ``length_m``, ``volume_m3``, ``climbs``.  Arrays of shape (legs,
    conditions): all others; ``inlet_Pa`` and ``outlet_Pa`` are static pressures, ``oil_return_ratio`` and
    ``minimum_velocity_m_s`` are NaN where the leg is not a vapour leg that climbs, ``density_kg_m3`` is the mean of
    the leg's two ends and ``velocity_m_s`` the higher one.  ``start_C`` and ``end_C`` are temperatures of the
    refrigerant, ``surface_C`` that of the hottest outer surface, ``start_margin_K`` and ``end_margin_K`` the
    superheat of vapour and the subcooling of liquid at both ends.  ``corner_ratio`` and ``corner_velocity_m_s`` run
    over the corners of the load grid, (legs, corners).
    """

    ids: tuple[str, ...]
    sizes: tuple[str, ...]
    inner_diameter_m: FloatArray
    length_m: FloatArray
    volume_m3: FloatArray
    climbs: BoolArray
    inlet_Pa: FloatArray
    outlet_Pa: FloatArray
    velocity_m_s: FloatArray
    reynolds: FloatArray
    friction_factor: FloatArray
    viscosity_Pa_s: FloatArray
    density_kg_m3: FloatArray
    fitting_length_m: FloatArray
    friction_Pa: FloatArray
    fittings_Pa: FloatArray
    parts_Pa: FloatArray
    acceleration_Pa: FloatArray
    static_Pa: FloatArray
    oil_return_ratio: FloatArray
    minimum_velocity_m_s: FloatArray
    charge_kg: FloatArray
    start_C: FloatArray
    end_C: FloatArray
    surface_C: FloatArray
    start_margin_K: FloatArray
    end_margin_K: FloatArray
    corner_ratio: FloatArray
    corner_velocity_m_s: FloatArray
    double_risers: tuple[DoubleRiserResult, ...]

    @property
    def drop_Pa(self) -> FloatArray:
        """Inlet less outlet pressure, (legs, conditions), [Pa]."""
        return np.asarray(self.inlet_Pa - self.outlet_Pa)


@dataclass(frozen=True, slots=True)
class LineFlow:
    """A line as a whole; arrays have shape (conditions,).

    ``saturation_penalty_K`` leaves the column out, ``tube_penalty_K`` the parts as well.  ``outlet_subcooling_K`` and
    ``outlet_vapour_fraction`` are NaN for vapour lines.  ``passes_flow`` is False where the flow cannot pass within
    the range of the refrigerant's table; every other figure of that condition then means nothing and is NaN.
    """

    passes_flow: BoolArray
    drop_Pa: FloatArray
    friction_Pa: FloatArray
    fittings_Pa: FloatArray
    parts_Pa: FloatArray
    acceleration_Pa: FloatArray
    static_Pa: FloatArray
    saturation_penalty_K: FloatArray
    tube_penalty_K: FloatArray
    saturation_change_K: FloatArray
    inlet_Pa: FloatArray
    outlet_Pa: FloatArray
    outlet_C: FloatArray
    outlet_subcooling_K: FloatArray
    outlet_vapour_fraction: FloatArray
    charge_kg: FloatArray
    heat_W: FloatArray
    """Heat that the line gives off, negative where it takes some up, [W]."""
    turns_at_m: FloatArray
    """Developed length at which liquid begins to boil or vapour to condense, NaN where it does not, [m]."""
    indicative_outlet_Pa: FloatArray
    """Outlet pressure with the remainder in two phases, indicative; NaN where nothing boils."""
    indicative_vapour_fraction: FloatArray
    budget: LiquidBudget | None


@dataclass(frozen=True, slots=True)
class SizeSweep:
    """The whole line at one size after another, worst of all conditions; arrays have shape (sizes,).

    Figures that do not exist (oil return of a line without a climb, any figure of a size that cannot pass the flow)
    are NaN. ``excluded_by`` names the rule that a size breaks first, None where it passes.
    """

    sizes: tuple[str, ...]
    inner_diameter_m: FloatArray
    pressure_drop_Pa: FloatArray
    saturation_penalty_K: FloatArray
    tube_penalty_K: FloatArray
    """The penalty of tube and fittings without parts, which is what a liquid line is judged by."""
    velocity_m_s: FloatArray
    oil_return_ratio: FloatArray
    outlet_subcooling_K: FloatArray
    allowable_gauge_Pa: FloatArray
    demand_gauge_Pa: float
    """The gauge pressure that the tube has to bear, NaN where no design pressure is known."""
    charge_kg: FloatArray
    charge_by_condition_kg: FloatArray
    """What the line would hold at each condition, (conditions, sizes), [kg]."""
    tube_mass_kg: FloatArray
    extra_power_W: FloatArray
    """Electric power that the line's drop costs, at the condition where it costs most; NaN for a liquid line."""
    yearly_kWh: FloatArray
    """The same over the stated hours of all conditions; NaN where no hours are stated."""
    yearly_cost: FloatArray
    """That times the site's price; NaN where none is stated."""
    excluded_by: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class LineResult:
    """One line: its legs, its flow, the sweep of sizes; None where this version cannot calculate it.

    Where the job leaves sizes open, ``line`` has those of ``proposal`` in their place.
    """

    line: Line
    length_m: float
    rise_m: float
    legs: LegResult | None
    flow: LineFlow | None
    sweep: SizeSweep | None
    proposal: SizeProposal | None = None
    """What the sizing chose for the legs without a size, None where there are none."""
    branches: tuple[BranchResult, ...] = ()
    """The ways to, or from, several parallel condensers; empty where one condenser takes the whole flow."""

    @property
    def volume_m3(self) -> float | None:
        """Volume of all legs, [m3]."""
        return None if self.legs is None else float(self.legs.volume_m3.sum())

    @property
    def equivalent_length_m(self) -> float | None:
        """Length of tube and fittings, parts left out, at the first condition, [m]; of the longest of several ways."""
        if self.legs is None:
            return None
        lengths = self.legs.length_m + self.legs.fitting_length_m[:, 0]
        if not self.branches:
            return float(lengths.sum())
        by_leg = dict(zip(self.legs.ids, lengths, strict=True))
        return float(max(sum(by_leg[leg] for leg in branch.legs) for branch in self.branches))


@dataclass(frozen=True, slots=True)
class CircuitResult:
    """One circuit solved."""

    circuit: Circuit
    conditions: ConditionResult
    lines: tuple[LineResult, ...]
    charge: ChargeResult
    findings: tuple[Finding, ...]
    corners: tuple[Condition, ...] = ()
    """The corners of the load grid at which oil return was judged beside the conditions."""
    own: BlendRecord | None = None
    """How the table of an own blend came about; None where the refrigerant is a shipped one."""


@dataclass(frozen=True, slots=True)
class Result:
    """Everything that is shown of a job."""

    job: Job
    circuits: tuple[CircuitResult, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of all circuits."""
        return tuple(finding for circuit in self.circuits for finding in circuit.findings)

    def as_dict(self, proposals: Proposals | None = None) -> dict[str, Any]:
        """Return plain values in the shape of the result file; ``proposals`` stand before the result's own."""
        from linesizer.domain.result_rows import result_rows

        return result_rows(self, proposals or {})
