"""All combinations of sizes of a line's groups at all conditions, by broadcasting: no loop over combinations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.route import Service
from linesizer.sizing.limits import Figures
from linesizer.sizing.options import Options
from linesizer.sizing.sweep import SweepBasis
from linesizer.solver.arrays import FloatArray
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.line_loads import size_change

MOST_AT_ONCE = 1_500_000
"""Conditions times combinations that are held in memory at once."""


@dataclass(frozen=True, slots=True)
class Combined:
    """Estimated figures of combinations; ``ways`` has the way of each group, (combinations, groups).

    ``tube_mass_kg``, ``charge_kg`` and the figures have shape (combinations,); ``inlet_Pa`` and ``judged_Pa`` (the
    drop that costs power) (conditions, combinations).
    """

    ways: NDArray[np.intp]
    figures: Figures
    tube_mass_kg: FloatArray
    charge_kg: FloatArray
    inlet_Pa: FloatArray
    judged_Pa: FloatArray

    def only(self, keep: NDArray[np.intp]) -> Combined:
        """Return some of the combinations, by their places."""
        figures = self.figures
        return Combined(
            self.ways[keep],
            Figures(
                figures.passes[keep],
                figures.penalty_K[keep],
                figures.oil_return_ratio[keep],
                figures.outlet_subcooling_K[keep],
                figures.velocity_m_s[keep],
                figures.rating_reserve_Pa[keep],
            ),
            self.tube_mass_kg[keep],
            self.charge_kg[keep],
            self.inlet_Pa[:, keep],
            self.judged_Pa[:, keep],
        )


@dataclass(frozen=True, slots=True)
class Joints:
    """Where groups meet: the legs at which flow goes from one into another; which groups come first and last."""

    meetings: dict[tuple[int, int], tuple[int, ...]]
    first: int
    last: int


def joints(options: Sequence[Options], legs: int) -> Joints:
    """Return where the groups of a line of so many legs meet."""
    member = np.empty(legs, dtype=np.intp)
    for index, own in enumerate(options):
        member[own.group.legs] = index
    pairs: dict[tuple[int, int], tuple[int, ...]] = {}
    for leg, (one, other) in enumerate(pairwise(member), 1):
        if one != other:
            key = int(one), int(other)
            pairs[key] = (*pairs.get(key, ()), leg)
    return Joints(pairs, int(member[0]), int(member[-1]))


def blocks(options: Sequence[Options], conditions: int) -> Iterator[tuple[Options, ...]]:
    """Yield the options in parts of which all combinations fit into memory together."""
    whole = conditions * int(np.prod([len(own.builds) for own in options], dtype=np.int64))
    parts = min(-(-whole // MOST_AT_ONCE), len(options[0].builds)) if whole else 0
    if parts <= 1:
        yield tuple(options)
        return
    places = np.arange(len(options[0].builds))
    for part in np.array_split(places, parts):
        yield (options[0].only(np.isin(places, part)), *options[1:])


def combine(
    options: Sequence[Options], meet: Joints, work: LineAtWork, basis: SweepBasis, density_over_pressure: FloatArray
) -> Combined:
    """Return the estimated figures of all combinations of the options, the last group's way changing fastest.

    Parameters
    ----------
    options : sequence of Options
        One a group.
    meet : Joints
        Where the groups meet.
    work, basis
        The line and what it stands on.
    density_over_pressure : ndarray, shape (conditions,)
        Of the line's refrigerant, which changes of size see, [kg/(m3 Pa)]; of a liquid the density itself, [kg/m3].
    """
    flow, table = basis.flow, basis.table
    count = len(flow.circuit.conditions)
    gas = work.line.service is Service.DISCHARGE
    shape = tuple(len(own.builds) for own in options)
    squared = flow.hot.line_flow[:count] ** 2

    def spread(values: FloatArray, index: int) -> FloatArray:
        """Put a group's ways, the last axis, on the axis of that group."""
        axes = tuple(-1 if axis == index else 1 for axis in range(len(shape)))
        return values.reshape(*values.shape[:-1], *axes)

    def summed(name: str) -> FloatArray:
        total = spread(getattr(options[0], name), 0)
        for index, own in enumerate(options[1:], 1):
            total = total + spread(getattr(own, name), index)
        return np.asarray(np.broadcast_to(total, (*total.shape[: total.ndim - len(shape)], *shape)))

    def extreme(name: str, *, least: bool) -> FloatArray:
        found = np.full(shape, np.nan)
        for index, own in enumerate(options):
            found = (np.fmin if least else np.fmax)(found, spread(getattr(own, name), index))
        return found.ravel()

    # What the changes of size and the gain of velocity heads cost, without the flow squared over density.
    heads = np.zeros((count, *(1,) * len(shape)))
    for (one, other), places in meet.meetings.items():
        before, after = np.meshgrid(options[one].bore_m, options[other].bore_m, indexing="ij")
        change = size_change(np.stack([before.ravel(), after.ravel()]))[1].reshape(before.shape)
        change = np.where(options[other].double[None, :], 0.0, change) * 0.5 / (0.25 * np.pi * after**2) ** 2
        axes = tuple(shape[axis] if axis in (one, other) else 1 for axis in range(len(shape)))
        change = change if one < other else change.T
        flows = squared * sum(_share2(work, leg, count) for leg in places)
        heads = heads + flows.reshape(-1, *(1,) * len(shape)) * change.reshape(axes)
    heads = heads + spread(0.5 * options[meet.last].mass_flux ** 2, meet.last)
    heads = heads - spread(0.5 * options[meet.first].mass_flux ** 2, meet.first)
    heads = heads * (2.0 if gas else 1.0) / density_over_pressure.reshape(-1, *(1,) * len(shape))

    fall = (summed("fall") + heads).reshape(count, -1)
    static = summed("static_Pa").reshape(count, -1)
    saturation = work.phase.saturation_temperature
    subcooling = np.full(fall.shape[1], np.nan)
    if gas:
        end = flow.given.condensing_Pa[:count, None]
        inlet = np.sqrt(np.maximum(end**2 + fall, 1.0))
        judged = inlet - end - static
        passes = (inlet < work.phase.most_pressure_Pa).all(axis=0)
        start = np.minimum(inlet, work.phase.most_pressure_Pa)
        penalty = saturation(start) - saturation(np.maximum(start - judged, work.phase.least_pressure_Pa))
    else:
        begin = (flow.hot.liquid.pressure_Pa if work.start_Pa is None else work.start_Pa)[:count]
        inlet = np.broadcast_to(begin[:, None], fall.shape)
        judged = fall - static - summed("parts_Pa").reshape(count, -1)
        outlet = inlet - fall
        passes = (outlet > work.phase.least_pressure_Pa).all(axis=0)
        outlet = np.maximum(outlet, work.phase.least_pressure_Pa)
        first = saturation(begin)[:, None]
        penalty = first - saturation(np.maximum(inlet - judged, work.phase.least_pressure_Pa))
        enthalpy = flow.hot.liquid.enthalpy_J_kg[:count, None] - summed("lost_J_kg").reshape(count, -1)
        if not flow.circuit.heat_exchange:
            enthalpy = flow.hot.liquid.enthalpy_J_kg[:count, None]
        subcooling = (saturation(outlet) - table.liquid_temperature_ph(outlet, enthalpy)).min(axis=0)
    return Combined(
        ways=np.stack(np.unravel_index(np.arange(fall.shape[1]), shape), axis=1),
        figures=Figures(
            passes=np.asarray(passes),
            penalty_K=penalty.max(axis=0),
            oil_return_ratio=extreme("oil_return_ratio", least=True),
            outlet_subcooling_K=subcooling,
            velocity_m_s=extreme("velocity_m_s", least=False),
            rating_reserve_Pa=extreme("rating_reserve_Pa", least=True),
        ),
        tube_mass_kg=summed("tube_mass_kg").ravel(),
        charge_kg=summed("charge_kg").reshape(count, -1).max(axis=0),
        inlet_Pa=inlet,
        judged_Pa=judged,
    )


def _share2(work: LineAtWork, leg: int, count: int) -> FloatArray:
    """Return the square of the part of the circuit's flow that a leg carries, (conditions,)."""
    shares = work.run.shares
    return np.ones(count) if shares is None else np.asarray(shares[leg, :count] ** 2)


def own_figures(options: Options) -> Figures:
    """Return what a group's ways are judged by whatever the other groups are built from."""
    count = len(options.builds)
    nothing = np.full(count, np.nan)
    return Figures(
        passes=np.ones(count, dtype=np.bool_),
        penalty_K=nothing,
        oil_return_ratio=options.oil_return_ratio,
        outlet_subcooling_K=nothing,
        velocity_m_s=options.velocity_m_s,
        rating_reserve_Pa=options.rating_reserve_Pa,
    )
