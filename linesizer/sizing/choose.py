"""The best sizes of a line: all combinations of a size a group at all conditions, the few best solved in full."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from linesizer.domain.geometry import line_geometry
from linesizer.domain.proposal import Combination, Exclusion, Objective, SizeProposal
from linesizer.domain.route import DoubleRiser
from linesizer.sizing.combine import Combined, blocks, combine, joints, own_figures
from linesizer.sizing.confirm import Confirmed, confirm
from linesizer.sizing.double_riser_pairs import DEEP_SEAL_m
from linesizer.sizing.groups import groups, is_open
from linesizer.sizing.limits import Limit, breaks, limits
from linesizer.sizing.options import Options, Reference, double_options, reference, single_options
from linesizer.sizing.sweep import SweepBasis, penalty_power
from linesizer.solver.arrays import FloatArray
from linesizer.solver.line_at_work import LineAtWork

TOGETHER = 8
"""How many of the best by each objective are solved in full at a time."""

WORTH_K = 0.01
"""A heavier combination is shown on the front only where it saves so much penalty; no survey could tell less."""

STOP_WEIGHS = 100.0
"""A broken stop rule outweighs any amount by which others are broken."""


def propose(
    work: LineAtWork, basis: SweepBasis, demand_Pa: FloatArray, objective: Objective = Objective.MASS
) -> SizeProposal | None:
    """Return the best sizes of a line's open legs; legs with a size keep it.

    Level, climbing and falling legs form a group each, and every combination of a size a group is worked at every
    condition and corner.  Where no combination of single tubes meets all limits, the climbing legs are tried as double
    risers too, all pairs of sizes: two tubes, a trap and eight joints in place of one tube are a last resort.

    Parameters
    ----------
    work : LineAtWork
        An unbranched line, or the path of one condenser through one that branches.
    basis : SweepBasis
        Conditions and limits.
    demand_Pa : ndarray, shape (legs,)
        Gauge pressure that each leg has to bear at the design pressure, [Pa].
    objective : Objective
        What the choice makes small; mass where the line has no figure for it.

    Returns
    -------
    SizeProposal or None
        None where no leg is open or no combination passes the flow.
    """
    serves = None if work.path is None or len(set(work.path.serves)) == 1 else work.path.serves
    found = groups(work.line, basis.practice, serves)
    if not any(group.fixed is None for group in found):
        return None
    at: dict[str, Reference] = {}
    for group in found:
        if group.catalogue.id not in at:
            solved = reference(work, group.catalogue, basis)
            if solved is None:
                return None
            at[group.catalogue.id] = solved
    options = tuple(
        (double_options if isinstance(group.fixed, DoubleRiser) else single_options)(
            group, at[group.catalogue.id], demand_Pa
        )
        for group in found
    )
    rules = limits(work.line.service, basis.practice)
    search = _Search(work, basis, rules, next(iter(at.values())))
    names = tuple(geometry.leg.id for geometry in line_geometry(work.line).legs if is_open(work.line, geometry.leg))
    count = int(np.prod([len(own.builds) for own in options]))
    good = search.best(options)
    if not good and any(group.doubles for group in found):
        paired = tuple(
            double_options(own.group, at[own.group.catalogue.id], demand_Pa) if own.group.doubles else own
            for own in options
        )
        count += int(np.prod([len(own.builds) for own in paired]))
        # A trap deeper than traps are made is taken only where nothing does with less.
        shallow = tuple(
            own.only(np.asarray((own.seals_m <= DEEP_SEAL_m).all(axis=0))) if own.group.doubles else own
            for own in paired
        )
        good = search.best(shallow) or search.best(paired)
    if good:
        best = tuple((goal, one) for goal in Objective if (one := _least(good, goal)) is not None)
        chosen = dict(best).get(objective, dict(best)[Objective.MASS])
        return SizeProposal(work.line.id, objective, True, chosen, best, _front(good), names, count)
    nearest, exclusions = search.nearest(options)
    if nearest is None:
        return None
    return SizeProposal(work.line.id, objective, False, nearest, (), (), names, count, exclusions)


class _Search:
    """The search among options of one line."""

    def __init__(self, work: LineAtWork, basis: SweepBasis, rules: tuple[Limit, ...], at: Reference) -> None:
        self._work, self._basis, self._rules, self._at = work, basis, rules, at
        own = slice(None, len(basis.flow.circuit.conditions))
        per = at.per_pressure if at.gas else at.mean_density[..., -1]
        self._per = per.mean(axis=0)[own]

    def _combined(self, options: Sequence[Options]) -> Combined:
        meet = joints(options, len(self._work.run.length_m))
        return combine(options, meet, self._work, self._basis, self._per)

    def best(self, options: tuple[Options, ...]) -> tuple[Combination, ...]:
        """Return those that meet every limit and are best by an objective or lie on the front; maybe none."""
        kept = tuple(
            own.only(np.asarray(~breaks(own_figures(own), self._rules, estimated=True).any(axis=0)))
            if own.group.fixed is None
            else own
            for own in options
        )
        if not all(own.builds for own in kept):
            return ()
        offset = 0
        parts = []
        for block in blocks(kept, len(self._per)):
            combined = self._combined(block)
            fits = ~breaks(combined.figures, self._rules, estimated=True).any(axis=0)
            chosen = combined.only(np.flatnonzero(fits))
            chosen.ways[:, 0] += offset
            offset += len(block[0].builds)
            parts.append(chosen)
        good = [one for one in self._walk(_joined(parts), kept) if one.excluded_by is None]
        return tuple(one.combination for one in good)

    def _walk(self, found: Combined, options: tuple[Options, ...]) -> list[Confirmed]:
        """Solve the best by each objective, further down each list until one of it meets the limits, and the front."""
        many = len(found.tube_mass_kg)
        if many == 0:
            return []
        orders = [
            np.lexsort((found.figures.penalty_K, found.tube_mass_kg)),
            np.lexsort((found.figures.penalty_K, found.charge_kg)),
            np.argsort(found.figures.penalty_K, kind="stable"),
        ]
        power, energy = penalty_power(self._work.line, found.inlet_Pa, found.judged_Pa, self._basis)
        for figure in (power, energy):
            if np.isfinite(figure).any():
                orders.append(np.lexsort((found.figures.penalty_K, figure)))
        known: dict[int, Confirmed] = {}
        wanted = _front_places(found)
        reached = 0
        pending = list(orders)
        while pending or wanted:
            for order in pending:
                wanted |= set(order[reached : reached + TOGETHER].tolist())
            fresh = np.array(sorted(wanted - set(known)), dtype=np.intp)
            if len(fresh):
                answers = confirm(found.only(fresh), options, self._work, self._basis, self._rules)
                known |= dict(zip(fresh.tolist(), answers, strict=True))
            wanted = set()
            reached += TOGETHER
            pending = [
                order
                for order in pending
                if reached < many and all(known[place].excluded_by is not None for place in order[:reached].tolist())
            ]
        return [known[place] for place in sorted(known)]

    def nearest(self, options: tuple[Options, ...]) -> tuple[Combination | None, tuple[Exclusion, ...]]:
        """Return the combination that breaks the fewest limits and least, and what each limit excludes."""
        parts, offset = [], 0
        for block in blocks(options, len(self._per)):
            combined = self._combined(block)
            chosen = combined.only(np.flatnonzero(combined.figures.passes))
            chosen.ways[:, 0] += offset
            offset += len(block[0].builds)
            parts.append(chosen)
        found = _joined(parts)
        if len(found.tube_mass_kg) == 0:
            return None, ()
        broken = breaks(found.figures, self._rules)[1:]
        exclusions = tuple(
            Exclusion(rule.rule, int(broken[index].sum()), *self._reach(rule, index, broken, found))
            for index, rule in enumerate(self._rules)
            if broken[index].any()
        )
        stops = np.array([self._basis.practice.rule(rule.rule).level.weight > 2 for rule in self._rules])
        short = np.stack([np.nan_to_num(rule.short(found.figures)) for rule in self._rules])
        badness = STOP_WEIGHS * broken[stops].sum(axis=0) + np.minimum(short, 1.0).sum(axis=0) + broken.sum(axis=0)
        order = np.lexsort((found.tube_mass_kg, badness))[:TOGETHER]
        answers = confirm(found.only(order), options, self._work, self._basis, self._rules)
        passing = [one for one in answers if one.excluded_by != "flow_does_not_pass"]
        return (passing[0].combination if passing else None), exclusions

    def _reach(
        self, rule: Limit, index: int, broken: NDArray[np.bool_], found: Combined
    ) -> tuple[float | None, float | None]:
        """Return the best value of a rule's figure among those that keep every other rule, and the limit."""
        # Two rules on one figure are one limit for this: the milder one cannot be kept where the other is not.
        others = [place for place, other in enumerate(self._rules) if other.figure != rule.figure]
        kept = ~broken[others].any(axis=0)
        values: FloatArray = getattr(found.figures, rule.figure)[kept]
        values = values[np.isfinite(values)]
        if len(values) == 0:
            return None, rule.value
        return float(values.max() if rule.least else values.min()), rule.value


def _joined(parts: Sequence[Combined]) -> Combined:
    if len(parts) == 1:
        return parts[0]
    figures = replace(
        parts[0].figures,
        **{
            name: np.concatenate([getattr(part.figures, name) for part in parts])
            for name in (
                "passes",
                "penalty_K",
                "oil_return_ratio",
                "outlet_subcooling_K",
                "velocity_m_s",
                "rating_reserve_Pa",
            )
        },
    )
    return Combined(
        np.concatenate([part.ways for part in parts]),
        figures,
        np.concatenate([part.tube_mass_kg for part in parts]),
        np.concatenate([part.charge_kg for part in parts]),
        np.concatenate([part.inlet_Pa for part in parts], axis=1),
        np.concatenate([part.judged_Pa for part in parts], axis=1),
    )


def _front_places(found: Combined) -> set[int]:
    """Return the combinations that no other beats in both mass and penalty, by a worthwhile step each."""
    order = np.lexsort((found.figures.penalty_K, found.tube_mass_kg))
    penalty = found.figures.penalty_K[order]
    before = np.concatenate([[np.inf], np.minimum.accumulate(penalty)[:-1]])
    kept, last = set(), np.inf
    for place in order[penalty < before].tolist():
        if found.figures.penalty_K[place] <= last - WORTH_K:
            kept.add(place)
            last = found.figures.penalty_K[place]
    return kept


def _front(good: Sequence[Combination]) -> tuple[Combination, ...]:
    front: list[Combination] = []
    for one in sorted(good, key=lambda own: (own.tube_mass_kg, own.penalty_K)):
        if not front or one.penalty_K <= front[-1].penalty_K - WORTH_K:
            front.append(one)
    return tuple(front)


def _least(good: Sequence[Combination], objective: Objective) -> Combination | None:
    with_figure = [(figure, one.penalty_K, one) for one in good if (figure := one.figure(objective)) is not None]
    return min(with_figure, key=lambda own: own[:2])[2] if with_figure else None
