"""A line to or from parallel condensers as results: each leg once, the line by the path that decides, every branch."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.branch_result import BranchResult
from linesizer.domain.condenser_paths import TO_CONDENSERS
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import LegResult, LineFlow, LiquidBudget
from linesizer.domain.route import Line
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.line_loads import size_change
from linesizer.solver.line_results import flow_results, leg_results

_OF_LEGS = ("inner_diameter_m", "length_m", "volume_m3", "climbs")
_OF_CORNERS = ("corner_ratio", "corner_velocity_m_s")


@dataclass(frozen=True, slots=True)
class BranchedLine:
    """A line to or from parallel condensers as results; ``paths`` are those of each way, as of an unbranched line."""

    legs: LegResult
    whole: LineFlow
    branches: tuple[BranchResult, ...]
    paths: tuple[tuple[LegResult, LineFlow], ...]


def branched_results(
    line: Line, works: Sequence[LineAtWork], flow: CircuitFlow, table: RefrigerantTable
) -> BranchedLine:
    """Return what a line shows whose legs share the circuit's flow.

    Of a gas line the path with the lowest pressure at its condenser decides, of a liquid line the one that would arrive
    with the least; where paths run together, legs show the figures of the deciding one.  In the other branches of a
    liquid line the column stands lower, which their static term holds.

    Parameters
    ----------
    line : Line
        The whole line.
    works : sequence of LineAtWork
        Its paths, all solved.
    flow : CircuitFlow
        The circuit.
    table : RefrigerantTable
        Properties.
    """
    count = len(flow.circuit.conditions)
    ends = [_end_Pa(work) for work in works]
    sink = None if flow.parallel is None else flow.parallel.sink_Pa.get(line.id)
    paths = []
    for work in works:
        legs = leg_results(work, flow)
        whole = flow_results(work, legs, flow, table)
        if work.line.service not in TO_CONDENSERS:
            legs = _owned_by_arriving(work, legs, flow, count)
        paths.append((legs, whole))
    order = np.stack([np.where(np.isfinite(end), end, np.inf) for end in ends])
    deciding = order.argmin(axis=0)
    legs = _legs_once(line, works, [own for own, _ in paths], order, count)
    if sink is not None:
        for work in works:
            legs = _lowered(work, legs, sink[:count])
    whole = _decided([own for _, own in paths], deciding[:count])
    heat = sum(_heat_once(works, flow, count), np.zeros(count))
    passes = np.asarray(np.all([own.passes_flow for _, own in paths], axis=0))
    whole = replace(whole, charge_kg=legs.charge_kg.sum(axis=0), heat_W=heat, passes_flow=passes)
    if not all(bool(work.state.settled.all()) for work in works if work.state is not None):
        legs, whole = _blanked(works, legs, whole, count)
    branches = tuple(
        _branch(work, own, sink, place, deciding[:count], flow, np.where(passes, 0.0, np.nan))
        for place, (work, (_, own)) in enumerate(zip(works, paths, strict=True))
    )
    return BranchedLine(legs, whole, branches, tuple(paths))


def _blanked(works: Sequence[LineAtWork], legs: LegResult, whole: LineFlow, count: int) -> tuple[LegResult, LineFlow]:
    """Return a line without figures where one of its ways does not pass: what the others show hangs on it."""
    settled = np.all([work.state.settled for work in works if work.state is not None], axis=0)
    blank = np.where(settled, 0.0, np.nan)
    columns: dict[str, Any] = {}
    for field in fields(LegResult):
        if field.name in _OF_CORNERS:
            columns[field.name] = getattr(legs, field.name) + blank[count:]
        elif field.name not in (*_OF_LEGS, "ids", "sizes", "double_risers"):
            columns[field.name] = getattr(legs, field.name) + blank[:count]
    figures: dict[str, Any] = {
        field.name: getattr(whole, field.name) + blank[:count]
        for field in fields(LineFlow)
        if field.name not in ("passes_flow", "budget")
    }
    budget = whole.budget
    if budget is not None:
        budget = LiquidBudget(
            **{field.name: getattr(budget, field.name) + blank[:count] for field in fields(LiquidBudget)}
        )
    return replace(legs, **columns), replace(whole, budget=budget, **figures)


def _end_Pa(work: LineAtWork) -> FloatArray:
    if work.state is None:
        raise ValueError("the path is not solved")
    return np.asarray(work.state.pressure_Pa[-1] + np.where(work.state.settled, 0.0, np.nan))


def _own_legs(work: LineAtWork) -> NDArray[np.bool_]:
    if work.path is None:
        raise ValueError("not on the way to a condenser")
    return np.array(work.path.own)


def _owned_by_arriving(work: LineAtWork, legs: LegResult, flow: CircuitFlow, count: int) -> LegResult:
    """Return a path's legs where what changes at a junction belongs to the leg that arrives there.

    Each arriving stream has a velocity head and a bore of its own, so the leg behind the junction, which all of them
    share, could not hold what each of them gains or loses there.
    """
    state, path = work.state, work.path
    if state is None or path is None or work.tubes is None:
        raise ValueError("the path is not solved")
    joins = [place for place in range(1, len(path.serves)) if path.serves[place] != path.serves[place - 1]]
    if not joins:
        return legs
    flux2 = 0.5 * state.mass_flux[:, :count] ** 2
    change = size_change(work.tubes.bore_m[:, None], work.run.flows(flow.hot.line_flow)[:, :count]) * flux2
    change = change / state.mean_density[:, :count]
    columns = {
        name: getattr(legs, name).copy()
        for name in ("inlet_Pa", "outlet_Pa", "acceleration_Pa", "fittings_Pa", "fitting_length_m")
    }
    for place in joins:
        head = (flux2[place] - flux2[place - 1]) / state.density_kg_m3[place, :count]
        moves = {"acceleration_Pa": head, "fittings_Pa": change[place]}
        for name, drop in moves.items():
            columns[name][place] -= drop
            columns[name][place - 1] += drop
        for leg, sign in ((place, -1.0), (place - 1, 1.0)):
            each = legs.length_m[leg] / legs.friction_Pa[leg]
            # What is taken away again may leave a rounding below nothing.
            moved = columns["fitting_length_m"][leg] + sign * change[place] * each
            columns["fitting_length_m"][leg] = np.where(moved < 0.0, 0.0, moved)
        columns["outlet_Pa"][place - 1] -= head + change[place]
        columns["inlet_Pa"][place] -= head + change[place]
    return replace(legs, **columns)


def _lowered(work: LineAtWork, legs: LegResult, sink_Pa: FloatArray) -> LegResult:
    """Return a line's legs with the column in one condenser's own branch as low as the pressure behind it asks.

    ``sink_Pa`` is the pressure at the end of the line, (conditions,), which a way without common legs meets itself.
    """
    if work.path is None:
        raise ValueError("not on the way to a condenser")
    places = np.array(work.path.places)
    own = _own_legs(work)
    mine, shared = places[own], places[~own]
    inlet, outlet, static = legs.inlet_Pa.copy(), legs.outlet_Pa.copy(), legs.static_Pa.copy()
    # What some of the condensers share stands at the pressure behind it too; the columns above make up for it.
    for before, after_it in reversed(list(pairwise(shared))):
        beyond_Pa = outlet[before] - inlet[after_it]
        inlet[before] -= beyond_Pa
        outlet[before] -= beyond_Pa
    behind = inlet[shared[0]] if len(shared) else sink_Pa
    above_Pa = outlet[mine[-1]] - behind
    fall = np.maximum(-work.run.rise_m[own], 0.0)
    if not fall.any():
        fall = np.where(np.arange(len(mine)) == len(mine) - 1, 1.0, 0.0)
    part = (fall / fall.sum())[:, None] * above_Pa
    after = np.cumsum(part, axis=0)
    inlet[mine] -= after - part
    outlet[mine] -= after
    static[mine] += part
    return replace(legs, inlet_Pa=inlet, outlet_Pa=outlet, static_Pa=static)


def _legs_once(
    line: Line, works: Sequence[LineAtWork], paths: Sequence[LegResult], order: FloatArray, count: int
) -> LegResult:
    """Return every leg of a line once, where paths run together with the figures of the one that decides."""
    geometry = line_geometry(line).legs
    total, corners = len(geometry), order.shape[1] - count
    columns: dict[str, Any] = {}
    sizes = [""] * total
    best = np.full((total, order.shape[1]), np.inf)
    filled = np.zeros(total, dtype=np.bool_)
    for place, (work, legs) in enumerate(zip(works, paths, strict=True)):
        if work.path is None:
            raise ValueError("not on the way to a condenser")
        places = np.array(work.path.places)
        better = (order[place] < best[places]) | ~filled[places, None]
        for field in fields(LegResult):
            if field.name in ("ids", "sizes", "double_risers"):
                continue
            values = getattr(legs, field.name)
            if field.name in _OF_LEGS:
                columns.setdefault(field.name, np.zeros(total, dtype=values.dtype))[places] = values
                continue
            width, own = (corners, better[:, count:]) if field.name in _OF_CORNERS else (count, better[:, :count])
            column = columns.setdefault(field.name, np.full((total, width), np.nan))
            column[places] = np.where(own, values, column[places])
        best[places] = np.where(better, order[place], best[places])
        filled[places] = True
        for leg, size in zip(places, legs.sizes, strict=True):
            sizes[int(leg)] = size
    risers = {riser.leg: riser for legs in paths for riser in legs.double_risers}
    return LegResult(
        ids=tuple(leg.leg.id for leg in geometry),
        sizes=tuple(sizes),
        double_risers=tuple(risers[leg.leg.id] for leg in geometry if leg.leg.id in risers),
        **columns,
    )


def _decided(wholes: Sequence[LineFlow], deciding: NDArray[np.intp]) -> LineFlow:
    """Return the line's figures at each condition from the path that decides there."""

    def chosen(values: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
        return np.asarray(np.choose(deciding, list(values)))

    budgets = [own.budget for own in wholes]
    budget = None
    if all(own is not None for own in budgets):
        names = [field.name for field in fields(LiquidBudget)]
        budget = LiquidBudget(**{name: chosen([getattr(own, name) for own in budgets]) for name in names})
    columns: dict[str, Any] = {
        field.name: chosen([getattr(own, field.name) for own in wholes])
        for field in fields(LineFlow)
        if field.name != "budget"
    }
    # Where it turns first counts, on whichever way that is.
    turns = np.stack([own.turns_at_m for own in wholes])
    columns["turns_at_m"] = np.where(np.isnan(turns).all(axis=0), np.nan, np.nan_to_num(turns, nan=np.inf).min(axis=0))
    return LineFlow(budget=budget, **columns)


def _heat_once(works: Sequence[LineAtWork], flow: CircuitFlow, count: int) -> list[FloatArray]:
    """Return the heat that each leg gives off, (conditions,), [W], every leg once."""
    met: dict[int, FloatArray] = {}
    for work in works:
        if work.state is None or work.path is None:
            continue
        enthalpy = work.state.enthalpy_J_kg
        given = (work.run.flows(flow.hot.line_flow) * (enthalpy[:-1] - enthalpy[1:]))[:, :count]
        for place, own in zip(work.path.places, given, strict=True):
            met.setdefault(place, own)
    return list(met.values())


def _branch(
    work: LineAtWork,
    whole: LineFlow,
    sink: FloatArray | None,
    place: int,
    deciding: NDArray[np.intp],
    flow: CircuitFlow,
    blank: FloatArray,
) -> BranchResult:
    if work.path is None or flow.parallel is None:
        raise ValueError("not on the way to a condenser")
    count = len(flow.circuit.conditions)
    outlet, short = whole.outlet_Pa, np.full(count, np.nan)
    if sink is not None:
        short = flow.parallel.short_m[work.line.id][place, :count]
        outlet = sink[:count] + 0.0 * whole.outlet_Pa
    inlet, outlet = whole.inlet_Pa + blank, outlet + blank
    ids = [leg.leg.id for leg in line_geometry(work.line).legs]
    own = _own_legs(work)
    return BranchResult(
        equipment=work.path.condenser,
        legs=tuple(ids),
        own=tuple(name for name, mine in zip(ids, own, strict=True) if mine),
        share=flow.parallel.share[flow.parallel.place(work.path.condenser), :count],
        inlet_Pa=inlet,
        outlet_Pa=outlet,
        drop_Pa=inlet - outlet,
        saturation_penalty_K=whole.saturation_penalty_K + blank,
        governs=np.asarray(deciding == place),
        column_short_m=short + blank,
        own_fall_m=float("nan") if work.line.service in TO_CONDENSERS else -float(work.run.rise_m[own].sum()),
    )
