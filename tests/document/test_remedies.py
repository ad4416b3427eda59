"""A finding's remedy, carried out as one step."""

from __future__ import annotations

from linesizer.document.remedies import remedy_command
from linesizer.domain.remedy import AddPart, AskForSubcooling, GiveFall, PutFitting, UseSize, UseSizes
from linesizer.domain.route import DoubleRiser
from tests.document.jobs import acted, circuit_in, leg_in, line_in


def test_a_size() -> None:
    after = acted(remedy_command("c1", UseSize("dis", ("d1", "d4"), "1-3/8")))
    assert [leg_in(after, name).size for name in ("d1", "d2", "d4")] == ["1-3/8", "1-5/8", "1-3/8"]


def test_the_sizes_of_several_legs_in_one_step() -> None:
    riser = DoubleRiser("5/8", "1-1/8", 0.2)
    remedy = UseSizes("dis", (("d1", "1-3/8"), ("d4", riser)))
    command = remedy_command("c1", remedy)
    assert (remedy.label, command.label) == ("Use these sizes", "size 2 legs of dis")
    assert remedy_command("c1", UseSizes("dis", (("d1", "1-3/8"),))).label == "size d1 of dis"
    after = acted(command)
    assert [(leg_in(after, name).size, leg_in(after, name).double_riser) for name in ("d1", "d4")] == [
        ("1-3/8", None),
        (None, riser),
    ]
    assert command.apply(after) is after
    back = acted(remedy_command("c1", UseSizes("dis", (("d3", "1-1/8"),))))
    assert (leg_in(back, "d3").size, leg_in(back, "d3").double_riser) == ("1-1/8", None)


def test_more_subcooling() -> None:
    after = acted(remedy_command("c1", AskForSubcooling("low", 7.5)))
    assert [condition.subcooling_K for condition in circuit_in(after).conditions] == [5.0, 7.5]


def test_a_part() -> None:
    remedy = AddPart("dis", "d4", "check_valve", 0.8)
    assert remedy.label == "Add a check valve to d4"
    after = acted(remedy_command("c1", remedy))
    assert [(part.kind, part.at) for part in leg_in(after, "d4").parts] == [("check_valve", 0.8)]


def test_a_fitting_put_and_taken_away() -> None:
    put, away = PutFitting("dis", "n4", "loop"), PutFitting("dis", "n3", None)
    assert (put.label, away.label) == ("Put a loop at n4", "Use a plain bend at n3")
    after = acted(remedy_command("c1", put))
    assert {item.node: item.kind for item in line_in(after).fittings}["n4"] == "loop"
    assert "n3" not in {item.node for item in line_in(acted(remedy_command("c1", away))).fittings}


def test_a_fall() -> None:
    remedy = GiveFall("dis", ("d2", "d4"), 0.0042)
    assert remedy.label == "Let these legs fall"
    assert GiveFall("dis", ("d4",), 0.0042).label == "Let d4 fall"
    after = acted(remedy_command("c1", remedy))
    assert [leg_in(after, name).fall for name in ("d1", "d2", "d4")] == [0.0, 0.0042, 0.0042]
