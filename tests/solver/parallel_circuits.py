"""Circuits with several condensers, as a job and as data for the reference; all data invented.

``tees``, ``bends`` and ``size_changes`` say in one place where the reference counts the losses of a tree:

- a tee stands where three legs meet, and counts on the velocity head of the leg that carries the combined flow, the
  common one; the leg that leaves owns it where the line spreads, the leg that arrives where legs gather.  A leg that
  turns against the common one has the row of a tee's branch, one that goes straight on that of its run;
- where two legs meet, the leg that leaves owns the bend;
- a change of bore is sudden, on the smaller bore's head; at a tee it belongs to the leg that owns the tee's loss.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import dist
from typing import Any

from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, LineEnd, Node, Point, Service
from tests.solver.network_reference import ELBOW_90, TEE_BRANCH, TEE_RUN, Branch, Loss, Reach, Running, Split, balanced
from tests.solver.reference_path import Fluid
from tests.solver.routes import job

COPPER = tube_catalogue("ASTM-B280-drawn")
EFFICIENCY = 0.68


def tree(
    service: Service, nodes: Mapping[str, Point], legs: Sequence[tuple[str, str, str]], ends: Mapping[str, str]
) -> Line:
    """Return a line: legs as (from, to, size), named by their two nodes; ends as node to equipment."""
    return Line(
        id=service.value,
        service=service,
        nodes=tuple(Node(name, at) for name, at in nodes.items()),
        legs=tuple(Leg(f"{start}-{end}", start, end, size=size) for start, end, size in legs),
        ends=tuple(LineEnd(node, equipment) for node, equipment in ends.items()),
    )


@dataclass(frozen=True)
class Parallel:
    """Condensers with their data, a gas line that spreads to them, a liquid line that gathers from them."""

    gas: Line
    liquid: Line
    condensers: tuple[Equipment, ...]
    refrigerant: str = "R134a"

    def job(self, *conditions: Condition, **changes: Any) -> Job:
        equipment = (Equipment("unit", Role.UNIT), *self.condensers)
        return job(
            self.gas,
            self.liquid,
            refrigerant=self.refrigerant,
            conditions=conditions,
            equipment=equipment,
            **changes,
        )

    def branches(self) -> tuple[Branch, ...]:
        gas, liquid = reaches(self.gas), reaches(self.liquid)
        return tuple(
            Branch(
                one.id,
                tuple(gas[leg] for leg in path(self.gas, one.id)),
                tuple(liquid[leg] for leg in path(self.liquid, one.id)),
                one.drop_Pa or 0.0,
                one.at_kg_s or 1.0,
                one.share,
            )
            for one in self.condensers
        )

    def reference(self, of: Condition) -> Split:
        return balanced(self.branches(), self.running(of))

    def running(self, of: Condition) -> Running:
        assert of.evaporating_C is not None
        return Running(
            Fluid(self.refrigerant),
            capacity_W=of.capacity_W,
            evaporating_K=of.evaporating_C + 273.15,
            condensing_K=of.condensing_C + 273.15,
            superheat_K=of.superheat_K,
            subcooling_K=of.subcooling_K,
            efficiency=EFFICIENCY,
        )

    def changed(self, condenser: str, **changes: Any) -> Parallel:
        """Return the same with other data of one condenser."""
        return replace(
            self, condensers=tuple(replace(c, **changes) if c.id == condenser else c for c in self.condensers)
        )


def path(line: Line, condenser: str) -> tuple[str, ...]:
    """Return the legs between the unit and a condenser, in the order of flow."""
    (node,) = (end.node for end in line.ends if end.equipment == condenser)
    found: list[str] = []
    spreads = line.service is Service.DISCHARGE
    while True:
        onward = [leg for leg in line.legs if (leg.end if spreads else leg.start) == node]
        if not onward:
            return tuple(reversed(found) if spreads else found)
        (leg,) = onward
        found.append(leg.id)
        node = leg.start if spreads else leg.end


def reaches(line: Line) -> dict[str, Reach]:
    """Return every leg of a line for the reference, by its id."""
    places = {node.id: node.at_m for node in line.nodes}
    bores = {leg.id: COPPER.find(leg.size or "").inside_diameter_m for leg in line.legs}
    found = {}
    for leg in line.legs:
        start, end = places[leg.start], places[leg.end]
        losses = (*tees(line, leg, places), *bends(line, leg, places), *size_changes(line, leg, bores))
        found[leg.id] = Reach(
            leg.id, dist(start, end), end[2] - start[2], bores[leg.id], COPPER.roughness_m, tuple(losses)
        )
    return found


def tees(line: Line, leg: Leg, places: Mapping[str, Point]) -> list[Loss]:
    common = _common(line, leg)
    if common is None:
        return []
    return [Loss(TEE_RUN if _straight(leg, common, places) else TEE_BRANCH, on=common.id)]


def bends(line: Line, leg: Leg, places: Mapping[str, Point]) -> list[Loss]:
    """Return the elbow at the start of a leg that follows a single other one; all turns here are right angles."""
    before = [other for other in line.legs if other.end == leg.start]
    after = [other for other in line.legs if other.start == leg.start]
    if len(before) != 1 or len(after) != 1 or _straight(before[0], leg, places):
        return []
    return [Loss(ELBOW_90)]


def size_changes(line: Line, leg: Leg, bores: Mapping[str, float]) -> list[Loss]:
    """Return the change of bore that a leg owns; the trees here only widen towards the common leg."""
    common = _common(line, leg)
    before = [other for other in line.legs if other.end == leg.start]
    if common is not None:
        small, large = bores[leg.id], bores[common.id]
        assert small <= large
        beta2 = (small / large) ** 2
        k = 0.5 * (1.0 - beta2) if common.end == leg.start else (1.0 - beta2) ** 2
        return [Loss(k=k)] if k else []
    assert len(before) != 1 or bores[before[0].id] == bores[leg.id]
    return []


def _common(line: Line, leg: Leg) -> Leg | None:
    """Return the leg with the combined flow at the tee whose loss this leg owns, None where it owns none."""
    if line.service is Service.DISCHARGE:
        at, many = leg.start, [other for other in line.legs if other.start == leg.start]
        common = [other for other in line.legs if other.end == at]
    else:
        at, many = leg.end, [other for other in line.legs if other.end == leg.end]
        common = [other for other in line.legs if other.start == at]
    return common[0] if common and len(many) > 1 else None


def _straight(one: Leg, other: Leg, places: Mapping[str, Point]) -> bool:
    def direction(leg: Leg) -> tuple[float, ...]:
        start, end = places[leg.start], places[leg.end]
        return tuple((b - a) / dist(start, end) for a, b in zip(start, end, strict=True))

    return dist(direction(one), direction(other)) < 1e-6
