"""Jobs with parallel condensers, for the tests that split the flow between them; all data invented."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job
from linesizer.domain.route import Leg, Line, LineEnd, Node, Point, Service
from tests.solver.routes import condition, job

FULL = condition("full", capacity_W=100e3, evaporating_C=2.0, condensing_C=50.0, ambient_C=35.0)
LOW = condition("low", capacity_W=30e3, evaporating_C=2.0, condensing_C=30.0, ambient_C=5.0)


def route(service: Service, *runs: Sequence[tuple[str, Point]], sizes: dict[str, str], **changes: Any) -> Line:
    """Return a line from runs of named points, each a chain in the order of flow; runs meet where names are the same.

    ``sizes`` has the size of the leg that arrives at a point (or, where a point has none, of the leg that leaves it),
    by the point's name; legs are called after both ends.
    """
    nodes: dict[str, Point] = {}
    legs = []
    for run in runs:
        nodes.update(dict(run))
        for (start, _), (end, _) in itertools.pairwise(run):
            legs.append(Leg(f"{start}{end}", start, end, size=sizes.get(end, sizes.get(start)), place="outdoor"))
    name = "gas" if service is Service.DISCHARGE else service.value
    stated: dict[str, Any] = {"id": name, "service": service}
    return Line(nodes=tuple(Node(key, at) for key, at in nodes.items()), legs=tuple(legs), **(stated | changes))


def gas(far_m: float = 20.0, *, trunk: str = "1-5/8", branch: str = "1-3/8", far_branch: str | None = None) -> Line:
    """Return a discharge line that spreads from a tee at 8 m to condensers at 8 m and at ``far_m``, 5 m above it."""
    far = far_branch or branch
    return route(
        Service.DISCHARGE,
        [("a", (0.0, 0.0, 1.0)), ("b", (0.0, 0.0, 4.0)), ("t", (8.0, 0.0, 4.0))],
        [("t", (8.0, 0.0, 4.0)), ("c", (8.0, 0.0, 9.0)), ("d", (8.0, 2.0, 9.0))],
        [("t", (8.0, 0.0, 4.0)), ("e", (far_m, 0.0, 4.0)), ("f", (far_m, 0.0, 9.0)), ("g", (far_m, 2.0, 9.0))],
        sizes={"b": trunk, "t": trunk, "c": branch, "d": branch, "e": far, "f": far, "g": far},
        ends=(LineEnd("a", "unit", "discharge"), LineEnd("d", "near"), LineEnd("g", "far")),
    )


def liquid(far_m: float = 20.0, *, trunk: str = "1-1/8", branch: str = "7/8", header_m: float = 2.0) -> Line:
    """Return a liquid line that gathers from both at a header ``header_m`` above the floor and ends at the unit."""
    return route(
        Service.LIQUID,
        [("a", (8.0, 3.0, 9.0)), ("t", (8.0, 3.0, header_m)), ("u", (0.0, 3.0, header_m)), ("v", (0.0, 3.0, 0.5))],
        [("c", (far_m, 3.0, 9.0)), ("d", (far_m, 3.0, header_m)), ("t", (8.0, 3.0, header_m))],
        sizes={"a": branch, "t": branch, "c": branch, "d": branch, "u": trunk, "v": trunk},
        ends=(LineEnd("a", "near"), LineEnd("c", "far"), LineEnd("v", "unit")),
    )


def condensers(*, shares: tuple[float | None, float | None] = (None, None), **changes: Any) -> tuple[Equipment, ...]:
    """Return the unit and both condensers; what is not named goes to the condensers."""
    stated: dict[str, Any] = {"volume_m3": 0.012, "mean_liquid_fraction": 0.2, "place": "outdoor"}
    near = Equipment("near", Role.CONDENSER, name="Near one", at_m=(8.0, 2.0, 9.0), **(stated | changes))
    far = replace(near, id="far", name="Far one", at_m=(20.0, 2.0, 9.0))
    unit = Equipment("unit", Role.UNIT, operating_kg=3.0)
    return unit, replace(near, share=shares[0]), replace(far, share=shares[1])


def parallel_job(*lines: Line, shares: tuple[float | None, float | None] = (None, None), **changes: Any) -> Job:
    """Return a job of one circuit with two condensers: the lines above unless others are given."""
    stated: dict[str, Any] = {"conditions": (FULL, LOW), "equipment": condensers(shares=shares)}
    return job(*(lines or (gas(), liquid())), **(stated | changes))
