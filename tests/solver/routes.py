"""Small sound jobs, and random ones, for the tests of the calculation; all data invented."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

from linesizer.domain.circuit import Circuit
from linesizer.domain.condition import Condition
from linesizer.domain.job import Job, PracticeChoice, Site
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import FittingAt, Leg, Line, Node, Point, Service

ORIGIN: Point = (0.0, 0.0, 0.0)
COPPER_SIZES = ("1/2", "5/8", "7/8", "1-1/8", "1-3/8", "1-5/8", "2-1/8", "2-5/8")


def condition(ident: str = "full", **changes: Any) -> Condition:
    """Return a running condition: 60 kW, -5 / 45 C, 8 K superheat, 6 K subcooling."""
    stated: dict[str, Any] = {
        "capacity_W": 60e3,
        "condensing_C": 45.0,
        "superheat_K": 8.0,
        "subcooling_K": 6.0,
        "evaporating_C": -5.0,
    }
    if "leaving_fluid_C" in changes:
        del stated["evaporating_C"]
    return Condition(id=ident, **(stated | changes))


def chain(points: Sequence[Point], service: Service = Service.DISCHARGE, **changes: Any) -> Line:
    """Return a line through points in the order of flow: nodes n0, n1, ..., legs l0, l1, ...

    ``size`` is one size for all legs or a sequence of one a leg; ``parts`` a dict of leg index to parts; ``fittings`` a
    dict of node id to kind; anything else goes to the Line.
    """
    legs = len(points) - 1
    sizes = changes.pop("size", "1-3/8")
    sizes = [sizes] * legs if isinstance(sizes, str) or sizes is None else list(sizes)
    parts = changes.pop("parts", {})
    fittings = changes.pop("fittings", {})
    stated: dict[str, Any] = {"id": "gas" if service is Service.DISCHARGE else service.value}
    return Line(
        service=service,
        nodes=tuple(Node(f"n{index}", point) for index, point in enumerate(points)),
        legs=tuple(
            Leg(f"l{index}", f"n{index}", f"n{index + 1}", size=sizes[index], parts=tuple(parts.get(index, ())))
            for index in range(legs)
        ),
        fittings=tuple(FittingAt(node, kind) for node, kind in fittings.items()),
        **(stated | changes),
    )


def job(*lines: Line, refrigerant: str = "R134a", conditions: Sequence[Condition] | None = None, **changes: Any) -> Job:
    """Return a job of one circuit, to which all that is not named here goes."""
    practice = PracticeChoice(overrides=tuple(changes.pop("overrides", {}).items()))
    site = Site(altitude_m=changes.pop("altitude_m", 0.0))
    circuit = Circuit(
        id="c1",
        refrigerant=refrigerant,
        conditions=(condition(),) if conditions is None else tuple(conditions),
        lines=lines,
        **changes,
    )
    return Job(circuits=(circuit,), practice=practice, site=site)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Return finite floats between two bounds."""
    return st.floats(low, high, allow_nan=False)


losses = st.one_of(
    st.builds(PartLoss, equivalent_length_m=numbers(0.0, 20.0)),
    st.builds(PartLoss, k=numbers(0.0, 20.0)),
    st.builds(PartLoss, kv_m3_h=numbers(0.5, 500.0)),
    st.builds(PartLoss, drop_Pa=numbers(0.0, 5e4), at_kg_s=st.none() | numbers(0.05, 5.0)),
)


@st.composite
def chains(draw: st.DrawFn, service: Service, name: str) -> Line:
    """Return a random unbranched line of one to five legs that cannot meet itself: east, north, up, down or sloping."""
    count = draw(st.integers(1, 5))
    points = [ORIGIN]
    for _ in range(count):
        east, north, up = points[-1]
        step = draw(numbers(0.3, 25.0))
        way = draw(st.sampled_from(["east", "north", "up", "down", "slope"]))
        # East or north always goes on, so a riser and a drop never share a place: a small step separates them.
        points.append(
            {
                "east": (east + step, north, up),
                "north": (east, north + step, up),
                "up": (east + 0.2, north, up + step),
                "down": (east, north + 0.2, up - step),
                "slope": (east + step, north, up + draw(numbers(-0.5, 0.5)) * step),
            }[way]
        )
    parts = {
        index: [
            Part(
                f"p{index}",
                draw(st.sampled_from(["ball_valve", "check_valve", "muffler"])),
                loss=draw(st.none() | losses),
            )
        ]
        for index in range(count)
        if draw(st.booleans())
    }
    fittings = {
        f"n{index}": draw(st.sampled_from(["none", "trap", "loop", "elbow_45", "elbow_90_short", "reducer"]))
        for index in range(count + 1)
        if draw(st.integers(0, 3)) == 0
    }
    size = draw(st.lists(st.sampled_from(COPPER_SIZES), min_size=count, max_size=count))
    return chain(points, service, id=name, size=size, parts=parts, fittings=fittings)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Return a random job that solves: one circuit, one to three conditions, a discharge and a liquid line."""
    refrigerant = draw(st.sampled_from(["R134a", "R410A", "R407C", "R32", "R454B", "R717", "R290", "R513A"]))
    count = draw(st.integers(1, 3))
    conditions = [
        condition(
            f"k{index}",
            capacity_W=draw(numbers(2e3, 4e5)),
            condensing_C=draw(numbers(25.0, 50.0)),
            evaporating_C=draw(numbers(-10.0, 10.0)),
            superheat_K=draw(numbers(0.0, 12.0)),
            subcooling_K=draw(numbers(0.0, 15.0)),
            suction_heat_K=draw(numbers(0.0, 5.0)),
            bypass=draw(st.just(0.0) | numbers(0.0, 0.5)),
            isentropic_efficiency=draw(st.none() | numbers(0.6, 0.9)),
        )
        for index in range(count)
    ]
    return job(
        draw(chains(Service.DISCHARGE, "gas")),
        draw(chains(Service.LIQUID, "liquid")),
        refrigerant=refrigerant,
        conditions=conditions,
        altitude_m=draw(numbers(0.0, 3000.0)),
    )
