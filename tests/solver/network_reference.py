r"""Parallel condensers by another way: how the flow splits between branches, and the columns that balance the rest.

CoolProp called directly (through ``tests/solver/reference_path.py``), the fluids library's friction factor and its
table of Darby's 3-K fittings, an adaptive integration along every leg, scipy's root finders; nothing of the program's.

Condenser i takes the share :math:`x_i` of the flow, the same of gas and of liquid.  A leg carries the sum of the shares
of the condensers that it serves.  Along a leg, with the flux G and s from 0 to 1,

.. math::
    dp/ds = -\left(f L / D + \sum K\right) G^2 / 2\rho - \rho g \Delta z - G^2 \, d(1/\rho)/ds,

where a loss may count on the velocity head of another leg (a tee's on the one that carries the combined flow), and
where a leg starts with another flux than the one before it, :math:`(G^2 - G_0^2) / 2\rho` besides.  Then

- the lowest inlet pressure of all condensers is the condensing pressure; the pressure at the compressor follows;
- all liquid is subcooled below the bubble point at the lowest outlet pressure of all condensers, which sets the flow;
- shares that are not stated make :math:`D_i` the same for all: gas path, condenser, liquid path without its column, and
  the column of the condenser's own liquid branch where that branch climbs;
- with every column full path i ends at :math:`P_i`; the lowest holds, and in the others the column stands
  :math:`(P_i - \min P) / \rho g` short of full.

The places of losses are data: which leg owns one, and whose velocity head it counts on, is the caller's.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import CoolProp
import numpy as np
from fluids.fittings import Darby3K
from fluids.friction import friction_factor
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, newton, root

from tests.solver.reference_path import GRAVITY, Fluid

INCH_m = 0.0254
ELBOW_90 = "Elbow, 90°, threaded, long radius, (r/D = 1.5)"
TEE_BRANCH = "Tee, Through-branch,(as elbow), (r/D = 1.5)"
TEE_RUN = "Tee, Run-through, flanged, (r/D = 1)"
"""Rows of Darby's table as fluids names them."""


@dataclass(frozen=True)
class Loss:
    """One fitting: a row of Darby's table or a plain coefficient, on the velocity head of leg ``on``, else its own."""

    row: str | None = None
    k: float = 0.0
    on: str | None = None


@dataclass(frozen=True)
class Reach:
    """A leg: length, rise along the flow, bore, roughness, [m]; its fittings and parts."""

    id: str
    length_m: float
    rise_m: float
    bore_m: float
    roughness_m: float
    losses: tuple[Loss, ...] = ()

    @property
    def area_m2(self) -> float:
        return 0.25 * float(np.pi) * self.bore_m**2


@dataclass(frozen=True)
class Branch:
    """A condenser, its gas path from the unit and its liquid path to the sink, both in the order of flow."""

    condenser: str
    gas: tuple[Reach, ...]
    liquid: tuple[Reach, ...]
    drop_Pa: float = 0.0
    at_kg_s: float = 1.0
    share: float | None = None

    def own_drop_Pa(self, flow_kg_s: float) -> float:
        return self.drop_Pa * (flow_kg_s / self.at_kg_s) ** 2


@dataclass(frozen=True)
class State:
    """Density [kg/m3], viscosity [Pa s], and how density goes with pressure at constant enthalpy, [kg/(m3 Pa)]."""

    density: float
    viscosity: float
    density_by_pressure: float = 0.0


Medium = Callable[[float], State]
"""The state at a pressure, at the enthalpy that holds along the path."""


LEAST = 1e-4
"""The least part of what condensers without a stated share take between them; with less one of them counts as dry."""


class NoBalanceError(ArithmeticError):
    """No split of the flow makes the branches resist alike."""


class Supply(Protocol):
    """What runs: gas from a pressure at the compressor, liquid and flow from the lowest pressure behind a condenser."""

    condensing_Pa: float

    def gas(self, discharge_Pa: float) -> Medium: ...

    def liquid(self, outlet_Pa: float) -> Medium: ...

    def flow_kg_s(self, outlet_Pa: float) -> float: ...


@dataclass(frozen=True)
class Unchanging:
    """Fluids of constant density and viscosity at a given flow: what can be followed by hand."""

    flow: float
    gas_state: State
    liquid_state: State
    condensing_Pa: float = 1e6

    def gas(self, discharge_Pa: float) -> Medium:
        return lambda _: self.gas_state

    def liquid(self, outlet_Pa: float) -> Medium:
        return lambda _: self.liquid_state

    def flow_kg_s(self, outlet_Pa: float) -> float:
        return self.flow


@dataclass
class Running:
    """One condition of a circuit with a compressor of an isentropic efficiency; temperatures in K."""

    fluid: Fluid
    capacity_W: float
    evaporating_K: float
    condensing_K: float
    superheat_K: float
    subcooling_K: float
    efficiency: float
    condensing_Pa: float = field(init=False)

    def __post_init__(self) -> None:
        fluid = self.fluid
        self.condensing_Pa = fluid.pressure(self.condensing_K, 1.0)
        evaporating_Pa = fluid.pressure(self.evaporating_K, 1.0)
        suction = fluid.by_temperature("vapour", evaporating_Pa, self.evaporating_K + self.superheat_K)
        self._suction_h, self._suction_s = suction.hmass(), suction.smass()
        self._guess_K = self.condensing_K + 25.0

    def compressed_J_kg(self, discharge_Pa: float) -> float:
        ideal = self.fluid.by_entropy(discharge_Pa, self._suction_s, self._guess_K).hmass()
        return float(self._suction_h + (ideal - self._suction_h) / self.efficiency)

    def discharge_K(self, discharge_Pa: float) -> float:
        enthalpy = self.compressed_J_kg(discharge_Pa)
        return float(self.fluid.by_enthalpy("vapour", discharge_Pa, enthalpy, self._guess_K).T())

    def gas(self, discharge_Pa: float) -> Medium:
        return _adiabatic(self.fluid, "vapour", self.compressed_J_kg(discharge_Pa), self._guess_K)

    def _liquid_start(self, outlet_Pa: float) -> tuple[float, float]:
        temperature_K = self.fluid.saturation_temperature(outlet_Pa, 0.0) - self.subcooling_K
        return temperature_K, self.fluid.by_temperature("liquid", outlet_Pa, temperature_K).hmass()

    def liquid(self, outlet_Pa: float) -> Medium:
        start_K, enthalpy = self._liquid_start(outlet_Pa)
        return _adiabatic(self.fluid, "liquid", enthalpy, start_K)

    def flow_kg_s(self, outlet_Pa: float) -> float:
        return self.capacity_W / (self._suction_h - self._liquid_start(outlet_Pa)[1])


def _adiabatic(fluid: Fluid, phase: str, enthalpy: float, start_K: float) -> Medium:
    def at(pressure_Pa: float) -> State:
        state = fluid.by_enthalpy(phase, pressure_Pa, enthalpy, start_K)
        by_pressure = state.first_partial_deriv(CoolProp.iDmass, CoolProp.iP, CoolProp.iHmass)
        return State(state.rhomass(), state.viscosity(), by_pressure)

    return at


@dataclass(frozen=True)
class Path:
    """What a path does to its flow, [Pa]; of its own legs, those that serve one condenser alone, column and density.

    ``nodes_Pa`` are the pressures at both ends of every leg.
    """

    inlet_Pa: float
    outlet_Pa: float
    friction_Pa: float
    fittings_Pa: float
    static_Pa: float
    acceleration_Pa: float
    own_static_Pa: float
    own_density: float
    nodes_Pa: tuple[tuple[float, float], ...]

    @property
    def drop_Pa(self) -> float:
        return self.inlet_Pa - self.outlet_Pa

    @property
    def dynamic_Pa(self) -> float:
        return self.drop_Pa - self.static_Pa


@dataclass(frozen=True)
class Split:
    """The circuit in balance: pressures in Pa, one entry a condenser in all tuples."""

    flow_kg_s: float
    discharge_Pa: float
    shares: tuple[float, ...]
    gas: tuple[Path, ...]
    condensers_Pa: tuple[float, ...]
    liquid: tuple[Path, ...]

    @property
    def resistance_Pa(self) -> tuple[float, ...]:
        """What has to be the same for all where no share is stated."""
        return tuple(
            gas.drop_Pa + own + liquid.dynamic_Pa + max(0.0, liquid.own_static_Pa)
            for gas, own, liquid in zip(self.gas, self.condensers_Pa, self.liquid, strict=True)
        )

    @property
    def sink_Pa(self) -> float:
        return min(path.outlet_Pa for path in self.liquid)

    @property
    def column_short_m(self) -> tuple[float, ...]:
        return tuple((path.outlet_Pa - self.sink_Pa) / (path.own_density * GRAVITY) for path in self.liquid)


def along(
    medium: Medium,
    legs: Sequence[Reach],
    flows: dict[str, float],
    reaches: dict[str, Reach],
    own: set[str],
    at_Pa: float,
) -> Path:
    """Integrate from the start of a path to its end; ``flows`` [kg/s] and ``reaches`` know every leg by its id."""
    start_Pa = at_Pa
    sums = np.zeros(4)
    own_static = own_mass = own_length = 0.0
    before: float | None = None
    nodes: list[tuple[float, float]] = []
    for leg in legs:
        flux = flows[leg.id] / leg.area_m2
        before = flux if before is None else before
        heads = tuple((loss, reaches[loss.on] if loss.on else leg) for loss in leg.losses)
        volume = 1.0 / medium(at_Pa).density
        jump = 0.5 * (flux**2 - before**2) * volume

        def slopes(
            _: float,
            values: np.ndarray,
            leg: Reach = leg,
            flux: float = flux,
            heads: tuple[tuple[Loss, Reach], ...] = heads,
        ) -> tuple[float, float, float, float, float]:
            state = medium(float(values[0]))
            friction_f = friction_factor(flux * leg.bore_m / state.viscosity, leg.roughness_m / leg.bore_m)
            friction = friction_f * leg.length_m / leg.bore_m * flux**2 / (2.0 * state.density)
            fittings = sum(
                _coefficient(loss, of, flows[of.id], state.viscosity) * (flows[of.id] / of.area_m2) ** 2
                for loss, of in heads
            ) / (2.0 * state.density)
            static = state.density * GRAVITY * leg.rise_m
            pressure = -(friction + fittings + static) / (1.0 - (flux / state.density) ** 2 * state.density_by_pressure)
            return pressure, friction, fittings, static, state.density

        path = solve_ivp(
            slopes,
            (0.0, 1.0),
            (at_Pa - jump, 0.0, 0.0, 0.0, 0.0),
            method="DOP853",
            rtol=1e-9,
            atol=(1e-4, 1e-4, 1e-4, 1e-4, 1e-6),
        )
        assert path.success
        begin_Pa = at_Pa
        at_Pa, friction, fittings, static, density = (float(value) for value in path.y[:, -1])
        nodes.append((begin_Pa, at_Pa))
        sums += (friction, fittings, static, jump + flux**2 * (1.0 / medium(at_Pa).density - volume))
        if leg.id in own:
            own_static += static
            own_mass += density * leg.length_m
            own_length += leg.length_m
        before = flux
    friction, fittings, static, acceleration = (float(value) for value in sums)
    own_density = own_mass / own_length if own_length else medium(start_Pa).density
    return Path(start_Pa, at_Pa, friction, fittings, static, acceleration, own_static, own_density, tuple(nodes))


def _coefficient(loss: Loss, of: Reach, flow_kg_s: float, viscosity: float) -> float:
    if loss.row is None:
        return loss.k
    reynolds = flow_kg_s / of.area_m2 * of.bore_m / viscosity
    return loss.k + float(Darby3K(NPS=of.bore_m / INCH_m, Re=reynolds, name=loss.row))


def at_shares(branches: Sequence[Branch], supply: Supply, shares: Sequence[float]) -> Split:
    """Return the circuit at given shares: the pressure at the compressor and the flow that the liquid allows."""
    gas_own, gas_reaches, gas_serves = _tree([branch.gas for branch in branches])
    liquid_own, liquid_reaches, liquid_serves = _tree([branch.liquid for branch in branches])

    def flows(serves: dict[str, list[int]], flow: float) -> dict[str, float]:
        return {leg: flow * sum(shares[index] for index in served) for leg, served in serves.items()}

    def gas_paths(discharge_Pa: float, flow: float) -> tuple[Path, ...]:
        medium, of = supply.gas(discharge_Pa), flows(gas_serves, flow)
        return tuple(
            along(medium, branch.gas, of, gas_reaches, own, discharge_Pa)
            for branch, own in zip(branches, gas_own, strict=True)
        )

    outlet_Pa, discharge_Pa = supply.condensing_Pa, 1.01 * supply.condensing_Pa
    for _ in range(30):
        flow = supply.flow_kg_s(outlet_Pa)
        discharge_Pa = float(
            newton(
                lambda at, flow=flow: min(p.outlet_Pa for p in gas_paths(at, flow)) - supply.condensing_Pa,
                discharge_Pa,
                tol=1e-2,
            )
        )
        gas = gas_paths(discharge_Pa, flow)
        drops = tuple(branch.own_drop_Pa(flow * x) for branch, x in zip(branches, shares, strict=True))
        fresh = min(path.outlet_Pa - drop for path, drop in zip(gas, drops, strict=True))
        moved, outlet_Pa = abs(fresh - outlet_Pa), fresh
        if moved < 0.05:
            break
    else:
        raise ArithmeticError("the flow does not settle")
    medium, of = supply.liquid(outlet_Pa), flows(liquid_serves, flow)
    liquid = tuple(
        along(medium, branch.liquid, of, liquid_reaches, own, path.outlet_Pa - drop)
        for branch, own, path, drop in zip(branches, liquid_own, gas, drops, strict=True)
    )
    return Split(flow, discharge_Pa, tuple(shares), gas, drops, liquid)


def balanced(branches: Sequence[Branch], supply: Supply) -> Split:
    """Return the circuit with the shares that are stated, and with those that make the rest resist alike.

    Raises NoBalanceError where one of them would get nothing.
    """
    free = [index for index, branch in enumerate(branches) if branch.share is None]
    rest = 1.0 - sum(branch.share or 0.0 for branch in branches)

    def solved(of_rest: Sequence[float]) -> Split:
        shares = [branch.share or 0.0 for branch in branches]
        for index, part in zip(free, of_rest, strict=True):
            shares[index] = rest * part
        return at_shares(branches, supply, shares)

    def uneven(of_rest: Sequence[float]) -> np.ndarray:
        against = solved(of_rest).resistance_Pa
        return np.array([against[index] - against[free[-1]] for index in free[:-1]])

    if not free:
        return solved(())
    if len(free) == 1:
        return solved((1.0,))
    if len(free) == 2:
        if uneven((LEAST, 1.0 - LEAST))[0] > 0.0 or uneven((1.0 - LEAST, LEAST))[0] < 0.0:
            raise NoBalanceError("one of them gets nothing")
        first = brentq(lambda x: float(uneven((x, 1.0 - x))[0]), LEAST, 1.0 - LEAST, xtol=1e-9, rtol=1e-9)
        return solved((first, 1.0 - first))
    start = np.full(len(free) - 1, 1.0 / len(free))
    found = root(lambda x: uneven((*x, 1.0 - sum(x))) / 1e3, start, tol=1e-9)
    of_rest = (*(float(x) for x in found.x), 1.0 - float(sum(found.x)))
    if not found.success or min(of_rest) < LEAST:
        raise NoBalanceError(f"one of them gets nothing: {found.message}")
    return solved(of_rest)


def _tree(paths: Sequence[tuple[Reach, ...]]) -> tuple[list[set[str]], dict[str, Reach], dict[str, list[int]]]:
    """Return each path's own legs, every leg by its id, and the paths that it is part of."""
    reaches = {leg.id: leg for path in paths for leg in path}
    serves: dict[str, list[int]] = {leg: [] for leg in reaches}
    for index, path in enumerate(paths):
        for leg in path:
            assert reaches[leg.id] == leg, "two legs of one id"
            serves[leg.id].append(index)
    own = [{leg.id for leg in path if serves[leg.id] == [index]} for index, path in enumerate(paths)]
    return own, reaches, serves
