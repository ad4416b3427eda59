"""Which liquid can be shut in, and what the finding says of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.document.remedies import remedy_command
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.part import Part
from linesizer.domain.remedy import AddPart
from linesizer.domain.route import Leg, Line, Node, Service
from tests.checks.judged import TOO_MUCH, findings, job, messages, tied
from tests.solver.routes import chain

DOWN = [(8.0, 1.0, 6.0), (8.0, 1.0, 1.0), (1.0, 1.0, 1.0)]
MACHINES = tuple(
    Equipment(name, role) for name, role in (("unit", Role.UNIT), ("cond", Role.CONDENSER), ("sub", Role.SUBCOOLER))
)


def liquid(*parts: tuple[int, Part], service: Service = Service.LIQUID, **changes: Any) -> Line:
    on: dict[int, list[Part]] = {}
    for leg, part in parts:
        on.setdefault(leg, []).append(part)
    return chain(DOWN, service, size="7/8", parts=on, **changes)


def valve(name: str, kind: str = "ball_valve", at: float = 0.5, **changes: Any) -> Part:
    return Part(name, kind, at, **changes)


def trapped(*lines: Line, **changes: Any) -> tuple[Finding, ...]:
    return findings(job(*lines, equipment=MACHINES, **changes), "trapped_liquid")


def test_between_two_stop_valves() -> None:
    line = liquid((0, valve("a", at=0.2)), (1, valve("b", "solenoid_valve", 0.9)))
    (found,) = trapped(line)
    assert (found.level, found.line, found.leg) == (Level.STOP, "liquid", "l1")
    si, ip = messages(found)
    assert si.startswith(
        "Ball valve a (l0) and solenoid valve b (l1) can shut liquid in along legs l0 and l1, 10.30 m of"
    )
    assert "for each 1.00 K" in si
    assert "for each 1.80 °F" in ip
    assert "psi" in ip


def test_the_remedy_cures_it_in_the_middle_of_the_longest_piece() -> None:
    before = job(liquid((0, valve("a", at=0.2)), (1, valve("b", at=0.9))), equipment=MACHINES)
    (found,) = findings(before, "trapped_liquid")
    assert found.remedy == AddPart("liquid", "l1", "relief_valve", pytest.approx(0.45))
    assert found.remedy is not None
    after = remedy_command("c1", found.remedy).apply(before)
    assert findings(after, "trapped_liquid") == ()


@pytest.mark.parametrize(
    "between",
    [valve("r", "relief_valve", 0.6), valve("r", "access_valve", 0.6, relieves=True)],
    ids=["a relief valve", "stated"],
)
def test_a_relief_path_between_lets_it_out(between: Part) -> None:
    line = liquid((0, valve("a", at=0.2)), (0, between), (1, valve("b")))
    assert trapped(line) == ()


def test_a_relief_path_outside_does_not() -> None:
    line = liquid((0, valve("r", "relief_valve", 0.1)), (0, valve("a", at=0.2)), (1, valve("b")))
    assert len(trapped(line)) == 1


def test_one_valve_alone_shuts_nothing_in() -> None:
    assert trapped(liquid((0, valve("a")))) == ()


@pytest.mark.parametrize(
    ("closes", "count"), [(None, 1), (True, 1), (False, 0)], ids=["by its kind", "stated", "locked open"]
)
def test_the_job_may_say_what_closes(closes: bool | None, count: int) -> None:
    assert len(trapped(liquid((0, valve("a", closes=closes)), (1, valve("b"))))) == count


def test_a_part_that_the_job_lets_close() -> None:
    drier = valve("b", "filter_drier", closes=True)
    assert len(trapped(liquid((0, valve("a")), (1, drier)))) == 1
    assert trapped(liquid((0, valve("a")), (1, valve("b", "filter_drier")))) == ()


def test_a_valve_that_relieves_itself_shuts_nothing_in() -> None:
    assert trapped(liquid((0, valve("a", closes=True, relieves=True)), (1, valve("b")))) == ()


def test_a_check_valve_holds_liquid_behind_it_but_lets_it_on() -> None:
    check, stop = valve("c", "check_valve"), valve("b")
    (found,) = trapped(liquid((0, check), (1, stop)))
    assert "Check valve c (l0) and ball valve b (l1)" in found.message()
    assert trapped(liquid((0, stop), (1, check))) == ()


def test_a_valve_that_opens_to_its_inlet_lets_it_on_too() -> None:
    holdback, stop = valve("h", "regulator"), valve("b")
    assert trapped(liquid((0, stop), (1, holdback))) == ()
    assert len(trapped(liquid((0, holdback), (1, stop)))) == 1


def test_three_valves_shut_in_two_stretches() -> None:
    line = liquid((0, valve("a", at=0.1)), (0, valve("b", at=0.5)), (1, valve("c")))
    found = trapped(line)
    assert [finding.message().split(" can shut")[0] for finding in found] == [
        "Ball valve a (l0) and ball valve b (l0)",
        "Ball valve b (l0) and ball valve c (l1)",
    ]


def test_the_expansion_valve_counts_where_it_is_drawn() -> None:
    assert len(trapped(liquid((0, valve("a")), (1, valve("x", "expansion_valve", 1.0))))) == 1


def test_a_drain_line_is_judged_and_a_gas_line_is_not() -> None:
    parts = ((0, valve("a")), (1, valve("b")))
    assert len(trapped(liquid(*parts, service=Service.DRAIN))) == 1
    assert trapped(liquid(*parts, service=Service.DISCHARGE)) == ()


def test_a_subcooler_joins_two_lines_and_has_no_room() -> None:
    first = tied(liquid((0, valve("a")), id="one"), n0="cond", n2="sub")
    second = tied(
        chain([(1.0, 1.0, 1.0), (0.0, 1.0, 1.0)], Service.LIQUID, id="two", size="7/8", parts={0: [valve("b")]}),
        n0="sub",
        n1="unit",
    )
    (found,) = trapped(first, second)
    assert found.line == "one"
    assert "legs l0, l1 and two l0" in found.message()


def test_a_receiver_between_has_room() -> None:
    machines = (*MACHINES, Equipment("rec", Role.RECEIVER))
    drain = tied(liquid((0, valve("a")), id="drain", service=Service.DRAIN), n0="cond", n2="rec")
    line = tied(
        chain([(1.0, 1.0, 1.0), (0.0, 1.0, 1.0)], Service.LIQUID, size="7/8", parts={0: [valve("b")]}),
        n0="rec",
        n1="unit",
    )
    assert findings(job(drain, line, equipment=machines), "trapped_liquid") == ()


def test_a_line_that_gathers_is_shut_in_by_three() -> None:
    made = chain([(0.0, 0.0, 4.0), (0.0, 0.0, 1.0), (5.0, 0.0, 1.0)], Service.LIQUID, size="7/8")
    line = replace(
        made,
        nodes=(*made.nodes, Node("n3", (0.0, 3.0, 1.0))),
        legs=tuple(
            replace(leg, parts=(valve(f"v{leg.id}"),)) for leg in (*made.legs, Leg("l2", "n3", "n1", size="7/8"))
        ),
    )
    (found,) = trapped(line)
    assert found.message().startswith("Ball valve vl0 (l0), ball valve vl2 (l2) and ball valve vl1 (l1)")


def test_warming_to_the_rating_is_left_out_where_no_tube_is_rated() -> None:
    (found,) = trapped(liquid((0, valve("a")), (1, valve("b"))))
    assert "stands at what the tube may bear" in found.message()
    unsizable = chain(DOWN, Service.LIQUID, size=None, parts={0: [valve("a")], 1: [valve("b")]})
    (unsized,) = trapped(unsizable, conditions=[TOO_MUCH])
    assert "stands at what" not in unsized.message()
