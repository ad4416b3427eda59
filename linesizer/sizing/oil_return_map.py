"""Oil return and penalty of a discharge line over cooling and condensing temperature, and where both are in order."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit, HeadPressureControlKind
from linesizer.domain.condenser_paths import Tee, parallel_condensers
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Site
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import Line, Service
from linesizer.properties.library import load
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.built_line import BuiltLine
from linesizer.solver.cycle import operation
from linesizer.solver.duty import circuit_duty
from linesizer.solver.hot_side import compressed_gas, condenser_drop, hot_side_with_line, solve_hot_side
from linesizer.solver.line import oil_return_ratio
from linesizer.solver.line_at_work import film_density
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.phase import vapour
from linesizer.solver.route_losses import line_run, line_tubes, tee_losses
from linesizer.solver.surroundings import line_surroundings
from linesizer.units import ZERO_CELSIUS_K

POINTS = 60
LEAST_PART = 0.5
"""The map begins at this part of the conditions' least load."""

MOST_PART = 1.1
AROUND_K = 3.0
"""So far it goes beyond the least and the highest condensing temperature."""

LEAST_LIFT_K = 5.0
"""Condensing stays so far above evaporating."""


@dataclass(frozen=True, slots=True)
class OilReturnMap:
    """The worst riser of a line over cooling and condensing temperature.

    ``capacity_W`` has shape (loads,), ``condensing_C`` (heads,); the rest (heads, loads).  ``ratio`` is ``leg``'s,
    ``penalty_K`` that of the whole line; both are NaN where the flow does not pass.  ``safe`` marks where the ratio
    has the margin that practice asks for and the penalty keeps to its limit.  ``pattern`` is that of the leg's double
    riser (0 both tubes, 1 the small one alone, 2 the seal blown out), None where it is one tube.  Everything else is
    as at the circuit's condition ``base``.
    """

    line: str
    leg: str
    base: str
    capacity_W: FloatArray
    condensing_C: FloatArray
    ratio: FloatArray
    penalty_K: FloatArray
    safe: BoolArray
    pattern: NDArray[np.intp] | None
    margin_ratio: float
    limit_K: float


def oil_return_map(
    result: CircuitResult, site: Site, practice: PracticeSet, points: int = POINTS
) -> OilReturnMap | None:
    """Return the oil-return map of a solved circuit's worst riser.

    Superheat, subcooling, evaporating and air temperatures are those of the condition at which that riser returns oil
    worst, its discharge temperature calculated at every point.

    Parameters
    ----------
    result : CircuitResult
        The circuit solved.
    site, practice
        Place and rules.
    points : int
        Points along each axis.

    Returns
    -------
    OilReturnMap or None
        None where no gas leg that is calculated climbs, or the map would leave the refrigerant's table.
    """
    worst = _worst(result)
    if worst is None:
        return None
    line, leg, index = worst
    circuit, table = result.circuit, load(result.circuit.refrigerant, result.circuit.blend)
    base = circuit.conditions[index]
    heads_C = _heads_C(circuit, float(result.conditions.evaporating_Pa[index]), table, points)
    name = line_geometry(line).legs[leg].leg.id
    line, shares, tees = _way(result, line, name, index)
    leg = next(place for place, own in enumerate(line_geometry(line).legs) if own.leg.id == name)
    tubes = line_tubes(line)
    if heads_C is None or tubes is None:
        return None
    loads = np.array([condition.capacity_W for condition in circuit.conditions])
    capacity = np.linspace(LEAST_PART * float(loads.min()), MOST_PART * float(loads.max()), points)
    rows = tuple(
        replace(base, id=f"head {place}", condensing_C=float(head), discharge_C=None)
        for place, head in enumerate(heads_C)
    )
    heads = replace(circuit, conditions=rows)
    given = operation(heads, table).column()
    # Only load and head vary, so all that hangs on the head alone is worked once a row.
    compressed = compressed_gas(given, table)
    whole = replace(
        given,
        capacity_W=np.broadcast_to(capacity, (points, points)),
        condensing_Pa=np.broadcast_to(given.condensing_Pa, (points, points)),
    )
    condenser, film = condenser_drop(circuit), film_density(circuit, practice)
    alone = solve_hot_side(whole, table, condenser, compressed=compressed)
    design = circuit_duty(circuit, table).alone.line_flow[: len(loads)]
    run = line_run(line, practice, float(design.max()) * (1.0 if shares is None else shares[:, 0]), LossMethod.THREE_K)
    run = replace(run, shares=shares, tees=tee_losses(tees, LossMethod.THREE_K))
    around = None
    if circuit.heat_exchange:
        fluid = table.vapour_temperature_ph(alone.discharge_Pa[:, 0], alone.discharge_J_kg[:, 0])
        around = line_surroundings(line, heads, site, practice, tubes.outside_diameter_m[:, None, None], fluid)
    bore = tubes.bore_m[:, None, None]
    built = BuiltLine(run, bore, tubes.roughness_m[:, None, None], around, film)
    state = hot_side_with_line(whole, table, condenser, built, alone, compressed, cut=False).line
    if state is None:
        raise ValueError("a map needs a line")
    blank = np.where(state.settled, 0.0, np.nan)
    only = np.arange(len(run.length_m)) == leg
    ratio = oil_return_ratio(state, only, bore, np.asarray(film))[0]
    pattern = None
    if state.twins is not None and run.twins is not None and leg in run.twins.leg:
        place = int(np.flatnonzero(run.twins.leg == leg)[0])
        ratio, pattern = state.twins.ratio[place], state.twins.pattern[place]
    drop = state.pressure_Pa[0] - state.pressure_Pa[-1] - state.terms.static_Pa.sum(axis=0)
    penalty = saturation_fall(vapour(table).saturation_temperature, state.pressure_Pa[0], drop) + blank
    margin = max(practice.value("oil_return_margin_ratio"), practice.value("oil_return_stop_ratio"))
    limit = practice.value("discharge_penalty_K")
    return OilReturnMap(
        line=line.id,
        leg=name,
        base=base.id,
        capacity_W=capacity,
        condensing_C=heads_C,
        ratio=ratio + blank,
        penalty_K=penalty,
        safe=np.asarray((ratio >= margin) & (penalty <= limit)),
        pattern=pattern,
        margin_ratio=margin,
        limit_K=limit,
    )


def _way(
    result: CircuitResult, line: Line, leg: str, condition: int
) -> tuple[Line, FloatArray | None, tuple[Tee, ...]]:
    """Return the way to the condenser behind a leg, each leg's part of the flow, (legs, 1), at a condition, and tees.

    Of several condensers behind it the one whose way costs most there; the line itself, None and no tees where one
    condenser takes the whole flow.
    """
    parallel = parallel_condensers(result.circuit)
    if parallel is None or line.id not in parallel.paths:
        return line, None, ()
    branches = next(own.branches for own in result.lines if own.line.id == line.id)
    parts = {own.equipment: float(own.share[condition]) for own in branches}
    behind = [own for own in branches if leg in own.legs]
    chosen = min(behind, key=lambda own: float(np.nan_to_num(own.outlet_Pa[condition], nan=np.inf)))
    path = next(own for own in parallel.paths[line.id] if own.condenser == chosen.equipment)
    shares = np.array([[sum(parts[name] for name in sorted(served))] for served in path.serves])
    return path.chain, shares, path.tees


def _worst(result: CircuitResult) -> tuple[Line, int, int] | None:
    """Return the line, leg and condition whose oil return is worst, None where no calculated gas leg climbs."""
    found = []
    for line in result.lines:
        if line.line.service is Service.DISCHARGE and line.legs is not None:
            ratio = line.legs.oil_return_ratio
            if np.isfinite(ratio).any():
                leg, condition = np.unravel_index(int(np.nanargmin(ratio)), ratio.shape)
                found.append((float(np.nanmin(ratio)), line.line, int(leg), int(condition)))
    return min(found, key=lambda own: own[0])[1:] if found else None


def _heads_C(circuit: Circuit, evaporating_Pa: float, table: RefrigerantTable, points: int) -> FloatArray | None:
    """Return the condensing temperatures of the map, (points,), [C]; None where none is left above evaporating."""
    heads = [condition.condensing_C for condition in circuit.conditions]
    control = circuit.head_pressure_control
    if control.kind is not HeadPressureControlKind.NONE and control.minimum_condensing_C is not None:
        heads.append(control.minimum_condensing_C)
    evaporating_C = float(table.dew_temperature(np.array(evaporating_Pa))) - ZERO_CELSIUS_K
    # The bubble pressure of a blend with glide lies above the dew pressure, so a little is left to the table's end.
    highest = table.maximum_saturation_temperature_K - ZERO_CELSIUS_K - AROUND_K
    low = max(min(heads) - AROUND_K, evaporating_C + LEAST_LIFT_K)
    high = max(min(max(heads) + AROUND_K, highest), max(heads))
    return np.linspace(low, high, points) if low < high else None
