"""Invented jobs for the drawing's tests and its benchmark, as domain values."""

from __future__ import annotations

import math

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.part import Part
from linesizer.domain.route import DoubleRiser, FittingAt, Leg, Line, LineEnd, Node, Point, Service


def chain(
    line: str,
    service: Service,
    points: list[Point],
    *,
    sizes: str | list[str] = "1-5/8",
    ends: tuple[str, str] | None = None,
    parts: dict[int, list[tuple[str, float]]] | None = None,
    fittings: dict[int, str] | None = None,
    double: dict[int, DoubleRiser] | None = None,
    falls: dict[int, float] | None = None,
) -> Line:
    """Return a line through some points, its legs numbered from 1."""
    letter = line[0]
    count = len(points) - 1
    listed = [sizes] * count if isinstance(sizes, str) else sizes
    return Line(
        id=line,
        service=service,
        nodes=tuple(Node(f"n{i + 1}", at) for i, at in enumerate(points)),
        legs=tuple(
            Leg(
                f"{letter}{i + 1}",
                f"n{i + 1}",
                f"n{i + 2}",
                size=listed[i],
                double_riser=(double or {}).get(i + 1),
                fall=(falls or {}).get(i + 1, 0.0),
                parts=tuple(
                    Part(f"{letter}{i + 1}p{k + 1}", kind, at)
                    for k, (kind, at) in enumerate((parts or {}).get(i + 1, []))
                ),
            )
            for i in range(count)
        ),
        ends=() if ends is None else (LineEnd("n1", ends[0]), LineEnd(f"n{count + 1}", ends[1])),
        fittings=tuple(FittingAt(f"n{i}", kind) for i, kind in (fittings or {}).items()),
    )


def condenser_above() -> Circuit:
    """A creamery's ice bank: the condenser stands in the loft, a through receiver beside the unit."""
    return Circuit(
        "c1",
        "R134a",
        (),
        name="Circuit 1",
        equipment=(
            Equipment("unit", Role.UNIT, "Indoor unit", at_m=(0.0, 0.0, 1.2)),
            Equipment("cond", Role.CONDENSER, "Loft condenser", at_m=(6.0, 3.2, 8.0)),
            Equipment("rec", Role.RECEIVER, "Receiver", at_m=(1.8, -1.2, 0.6)),
        ),
        lines=(
            chain(
                "dis",
                Service.DISCHARGE,
                [(0.0, 0.0, 1.2), (0.0, 0.0, 3.0), (6.0, 0.0, 3.0), (6.0, 0.0, 8.0), (6.0, 3.2, 8.0)],
                sizes=["1-5/8", "1-5/8", "1-3/8", "1-5/8"],
                ends=("unit", "cond"),
                parts={1: [("ball_valve", 0.5)], 2: [("muffler", 0.3)]},
                fittings={3: "trap"},
                falls={2: 0.005},
            ),
            chain(
                "liq",
                Service.LIQUID,
                [
                    (7.0, 3.2, 8.0),
                    (9.4, 3.2, 8.0),
                    (9.4, -1.2, 8.0),
                    (9.4, -1.2, 2.6),
                    (2.6, -1.2, 2.6),
                    (2.6, -1.2, 0.9),
                ],
                sizes="7/8",
                ends=("cond", "rec"),
                parts={4: [("filter_drier", 0.55), ("sight_glass", 0.7), ("solenoid_valve", 0.85)]},
            ),
        ),
    )


def tall_riser() -> Circuit:
    """A cold store's roof condenser, 24 m up: double riser, traps on the way, a loop before the condenser."""
    return Circuit(
        "c1",
        "R404A",
        (),
        equipment=(
            Equipment("unit", Role.UNIT, "Blast room unit", at_m=(0.0, 0.0, 1.4)),
            Equipment("cond", Role.CONDENSER, "Roof condenser", at_m=(5.0, -4.0, 24.0)),
        ),
        lines=(
            chain(
                "dis",
                Service.DISCHARGE,
                [
                    (0.0, 0.0, 1.4),
                    (0.0, 0.0, 2.8),
                    (5.0, 0.0, 2.8),
                    (5.0, 0.0, 12.0),
                    (5.0, 0.0, 24.0),
                    (5.0, -4.0, 24.0),
                ],
                sizes=["1-3/8", "1-3/8", "1-1/8", "1-1/8", "1-3/8"],
                parts={1: [("flexible_connector", 0.4)], 2: [("oil_separator", 0.35), ("check_valve", 0.7)]},
                fittings={3: "trap", 4: "trap", 5: "loop"},
            ),
            chain(
                "liq",
                Service.LIQUID,
                [
                    (4.4, -4.6, 24.0),
                    (4.4, -4.6, 21.0),
                    (3.0, -4.6, 21.0),
                    (3.0, -4.6, 0.8),
                    (0.6, -4.6, 0.8),
                    (0.6, -0.6, 0.8),
                ],
                sizes="5/8",
                parts={
                    5: [("filter_drier", 0.3), ("sight_glass", 0.5), ("solenoid_valve", 0.7)],
                    3: [("sleeve", 0.3), ("sleeve", 0.6)],
                },
            ),
        ),
    )


def condenser_below() -> Circuit:
    """A hillside dairy: the condenser stands below the unit, drains to a receiver, and the liquid has to climb."""
    return Circuit(
        "c1",
        "R410A",
        (),
        equipment=(
            Equipment("unit", Role.UNIT, "Milk cooler", at_m=(0.0, 0.0, 1.2)),
            Equipment("cond", Role.CONDENSER, "Yard condenser", at_m=(8.0, -3.0, -5.0)),
            Equipment("rec", Role.RECEIVER, "Receiver", at_m=(7.2, -6.0, -7.0)),
        ),
        lines=(
            chain(
                "dis",
                Service.DISCHARGE,
                [
                    (0.0, 0.0, 1.2),
                    (0.0, 0.0, 2.6),
                    (5.0, 0.0, 2.6),
                    (5.0, 0.0, -4.0),
                    (8.0, 0.0, -4.0),
                    (8.0, -3.0, -4.0),
                    (8.0, -3.0, -5.0),
                ],
                sizes="1-1/8",
                fittings={3: "loop"},
                parts={3: [("sleeve", 0.4)], 4: [("check_valve", 0.5)]},
            ),
            chain(
                "cdr",
                Service.DRAIN,
                [(8.0, -4.2, -5.4), (8.0, -4.2, -6.2), (8.0, -6.0, -6.2), (8.0, -6.0, -6.9)],
                sizes="7/8",
                ends=("cond", "rec"),
                falls={2: 0.02},
            ),
            chain(
                "liq",
                Service.LIQUID,
                [(6.2, -6.0, -7.0), (3.0, -6.0, -7.0), (3.0, -6.0, 0.6), (0.0, -6.0, 0.6), (0.0, -0.6, 0.6)],
                sizes="5/8",
                ends=("rec", "unit"),
                parts={
                    1: [("stop_valve", 0.2), ("filter_drier", 0.5), ("sight_glass", 0.75)],
                    4: [("expansion_valve", 0.8)],
                },
            ),
        ),
    )


def double_riser() -> Circuit:
    """A discharge line with a double riser and a liquid line that shares its route back."""
    return Circuit(
        "c2",
        "R134a",
        (),
        name="Circuit 2",
        equipment=(
            Equipment("unit", Role.UNIT, "Chiller", at_m=(0.0, 0.0, 1.2)),
            Equipment("cond", Role.CONDENSER, "Dry court condenser", at_m=(9.0, 0.0, 9.0)),
        ),
        lines=(
            chain(
                "dis",
                Service.DISCHARGE,
                [(0.0, 0.0, 1.2), (0.0, 0.0, 2.4), (5.0, 0.0, 2.4), (5.0, 0.0, 9.0), (9.0, 0.0, 9.0)],
                sizes=["1-5/8", "1-5/8", "1-5/8", "2-1/8"],
                double={3: DoubleRiser("7/8", "1-3/8", 0.3)},
            ),
            chain(
                "liq",
                Service.LIQUID,
                [(8.6, 0.0, 9.0), (5.0, 0.0, 9.0), (5.0, 0.0, 2.4), (0.4, 0.0, 2.4), (0.4, 0.0, 0.8)],
                sizes="7/8",
            ),
        ),
    )


def parallel_condensers() -> Circuit:
    """Two condensers on one discharge line that spreads; one skew leg."""
    nodes = {
        "n1": (0.0, 0.0, 1.2),
        "n2": (0.0, 0.0, 4.0),
        "n3": (3.0, 0.0, 4.0),
        "n4": (6.0, 0.0, 4.0),
        "n5": (3.0, 4.0, 4.0),
        "n6": (8.5, 2.5, 5.5),
    }
    legs = [("d1", "n1", "n2"), ("d2", "n2", "n3"), ("d3", "n3", "n4"), ("d4", "n3", "n5"), ("d5", "n4", "n6")]
    return Circuit(
        "c1",
        "R32",
        (),
        equipment=(
            Equipment("unit", Role.UNIT, at_m=(0.0, 0.0, 1.2)),
            Equipment("k1", Role.CONDENSER, "Condenser 1", at_m=(3.0, 4.0, 4.0)),
            Equipment("k2", Role.CONDENSER, "Condenser 2", at_m=(8.5, 2.5, 5.5)),
            Equipment("sub", Role.SUBCOOLER, "Subcooler", at_m=(-3.0, -2.0, 1.0)),
        ),
        lines=(
            Line(
                "dis",
                Service.DISCHARGE,
                tuple(Node(name, at) for name, at in nodes.items()),
                tuple(Leg(name, start, end, size="22x1") for name, start, end in legs),
                ends=(LineEnd("n1", "unit"), LineEnd("n5", "k1"), LineEnd("n6", "k2")),
            ),
        ),
    )


def long_job(legs: int = 60) -> Circuit:
    """A discharge and a liquid line of many legs through a long building."""
    lines = []
    for name, service, y, z, share in (
        ("dis", Service.DISCHARGE, 0.0, 1.0, 0.5),
        ("liq", Service.LIQUID, -2.0, 0.5, 0.5),
    ):
        points: list[Point] = [(0.0, y, z)]
        for i in range(round(legs * share)):
            x0, y0, z0 = points[-1]
            step = 2.0 + 1.5 * math.sin(1.7 * i + y)
            kind = i % 4
            points.append(
                (x0 + step, y0, z0)
                if kind in (0, 2)
                else (x0, y0, z0 + (2.2 if i % 8 < 4 else -1.1))
                if kind == 1
                else (x0, y0 + (2.0 if i % 8 < 4 else -2.0), z0)
            )
        if service is Service.LIQUID:
            points.reverse()
        parts = {i: [("ball_valve", 0.5)] for i in range(1, len(points), 5)}
        lines.append(chain(name, service, points, sizes="1-1/8", parts=parts))
    return Circuit(
        "c1",
        "R134a",
        (),
        equipment=(
            Equipment("unit", Role.UNIT, "Indoor unit", at_m=(0.0, 0.0, 1.0)),
            Equipment("cond", Role.CONDENSER, "Condenser", at_m=lines[0].nodes[-1].at_m),
        ),
        lines=tuple(lines),
    )


JOBS = {
    "condenser above": condenser_above,
    "tall riser": tall_riser,
    "condenser below": condenser_below,
}
