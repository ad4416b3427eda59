"""Condensers side by side: another one, the lines run to it, their shares, a branch taken away again."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesizer.document.commands.circuit import DuplicateCircuit
from linesizer.document.commands.delete import DeleteBranch
from linesizer.document.commands.equipment import DeleteEquipment, MoveEquipment, SetShares
from linesizer.document.commands.parallel import AddAnother, RunLinesTo, lines_short_of
from linesizer.document.ids import next_name
from linesizer.document.objects import equipment_of
from linesizer.domain.ends import tied_ends
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.job import Job
from linesizer.domain.route import LineEnd, Node, Service
from tests.document.jobs import EXAMPLE, acted, circuit_in, line_in, places, refused, route, with_lines

DIS = line_in(EXAMPLE)
"""Up, east, up a double riser, then d4 four metres north from n4 to n5 at the condenser ``cond`` (6, 4, 9)."""

LIQ = route(
    "liq",
    Service.LIQUID,
    {"m1": (6.0, 4.0, 9.0), "m2": (6.0, 4.0, 8.0), "m3": (0.0, 4.0, 8.0), "m4": (0.0, 4.0, 1.0), "m5": (0.0, 0.0, 1.0)},
    ("l1", "m1", "m2"),
    ("l2", "m2", "m3"),
    ("l3", "m3", "m4"),
    ("l4", "m4", "m5"),
    ends=(LineEnd("m1", "cond", "outlet"), LineEnd("m5", "unit", "liquid")),
)
"""One metre down behind the condenser, west over the roof, down, south to the unit."""


def second(*lines: object) -> Job:
    return acted(AddAnother("c1", "cond"), with_lines(*(lines or (DIS, LIQ))))  # type: ignore[arg-type]


def test_another_condenser_has_the_data_of_the_first_and_the_next_name() -> None:
    after = second()
    first, other = (equipment_of(circuit_in(after), name) for name in ("cond", "cond2"))
    assert other == replace(first, id="cond2", name="Loft condenser 2", at_m=(9.0, 4.0, 9.0))
    third = acted(AddAnother("c1", "cond2"), after)
    assert [(item.id, item.name) for item in circuit_in(third).equipment][-1] == ("cond3", "Loft condenser 3")
    numbered = replace(after, circuits=(replace(circuit_in(after), equipment=(replace(first, id="cond1"), other)),))
    bare = replace(numbered, circuits=(replace(circuit_in(numbered), lines=()),))
    assert [item.id for item in circuit_in(acted(AddAnother("c1", "cond2"), bare)).equipment][-1] == "cond3"
    assert AddAnother("c1", "cond").label == "add another like cond"


def test_a_place_that_is_taken_is_passed_over() -> None:
    moved = acted(MoveEquipment("c1", "rec", (9.0, 4.0, 9.0)), with_lines())
    after = acted(AddAnother("c1", "cond"), moved)
    assert equipment_of(circuit_in(after), "cond2").at_m == (12.0, 4.0, 9.0)


@pytest.mark.parametrize(
    ("taken", "name", "expected"),
    [
        ((), "Condenser", "Condenser 2"),
        (("Condenser 2",), "Condenser", "Condenser 3"),
        (("Condenser 1", "Condenser 2"), "Condenser 1", "Condenser 3"),
        ((), "", ""),
        ((), "7", "7 2"),
    ],
)
def test_the_next_name(taken: tuple[str, ...], name: str, expected: str) -> None:
    assert next_name(taken, name) == expected


def test_shares_stay_whole_as_condensers_come_and_go() -> None:
    """0.6 and 0.4; a third takes 1/3, the others 2/3 of what they had: 0.4 and 4/15.  Without the first, 4/15 : 1/3."""
    stated = acted(SetShares("c1", (("cond", 0.6), ("cond2", 0.4))), second())
    three = acted(AddAnother("c1", "cond2"), stated)
    shares = [item.share for item in circuit_in(three).equipment if item.share is not None]
    assert shares == pytest.approx([0.4, 4.0 / 15.0, 1.0 / 3.0], abs=1e-12)
    two = acted(DeleteEquipment("c1", "cond"), three)
    shares = [item.share for item in circuit_in(two).equipment if item.share is not None]
    assert shares == pytest.approx([4.0 / 9.0, 5.0 / 9.0], abs=1e-12)
    one = acted(DeleteEquipment("c1", "cond2"), two)
    assert [item.share for item in circuit_in(one).equipment] == [None] * len(circuit_in(one).equipment)


def test_both_lines_branch_at_the_last_node_before_the_condenser() -> None:
    after = acted(RunLinesTo("c1", "cond2"), second())
    dis, liq = line_in(after), line_in(after, "liq")
    assert [(leg.id, leg.start, leg.end) for leg in dis.legs if leg.id in ("d5", "d6")] == [
        ("d5", "n4", "n6"),
        ("d6", "n6", "n7"),
    ]
    assert (places(after)["n6"], places(after)["n7"]) == ((9.0, 0.0, 9.0), (9.0, 4.0, 9.0))
    assert [(leg.id, leg.start, leg.end) for leg in liq.legs if leg.id in ("l5", "l6")] == [
        ("l6", "m7", "m6"),
        ("l5", "m6", "m2"),
    ]
    assert (places(after, "liq")["m6"], places(after, "liq")["m7"]) == ((9.0, 4.0, 8.0), (9.0, 4.0, 9.0))
    assert line_geometry(dis).shape is Shape.SPREADS
    assert line_geometry(liq).shape is Shape.GATHERS
    assert dis.ends[-1] == LineEnd("n7", "cond2", "inlet")
    assert liq.ends[-1] == LineEnd("m7", "cond2", "outlet")


def test_every_branch_is_tied_to_its_own_condenser() -> None:
    circuit = circuit_in(acted(RunLinesTo("c1", "cond2"), second(replace(DIS, ends=()), replace(LIQ, ends=()))))
    tied = {
        line.id: {end.node: end.equipment.id for end in tied_ends(circuit, line) if end.equipment}
        for line in circuit.lines
    }
    assert tied == {
        "dis": {"n1": "unit", "n5": "cond", "n7": "cond2"},
        "liq": {"m1": "cond", "m7": "cond2", "m5": "unit"},
    }


def test_the_branch_is_built_as_the_leg_to_the_present_condenser_without_its_parts() -> None:
    last = replace(DIS.legs[-1], size="1-1/8", insulation_m=0.013, fall=0.01)
    after = acted(RunLinesTo("c1", "cond2"), second(replace(DIS, legs=(*DIS.legs[:-1], last)), LIQ))
    built = {(leg.size, leg.place, leg.insulation_m, leg.fall) for leg in line_in(after).legs if leg.id in ("d5", "d6")}
    assert built == {("1-1/8", "outdoor", 0.013, 0.0)}


def test_where_the_new_run_meets_the_line_it_branches_there() -> None:
    """The line comes from the east at y 0: the second condenser's own run north begins on that leg, three metres on."""
    nodes = {"n1": (0.0, 0.0, 9.0), "n2": (20.0, 0.0, 9.0), "n4": (6.0, 0.0, 9.0), "n5": (6.0, 4.0, 9.0)}
    nodes["n1"] = (20.0, -2.0, 9.0)
    line = route("dis", Service.DISCHARGE, nodes, ("d1", "n1", "n2"), ("d2", "n2", "n4"), ("d3", "n4", "n5"))
    after = acted(RunLinesTo("c1", "cond2"), second(line))
    tee = next(name for name, at in places(after).items() if at == (9.0, 0.0, 9.0))
    assert {(leg.start, leg.end) for leg in line_in(after).legs} >= {("n2", tee), (tee, "n4")}
    assert len(line_in(after).legs) == 5
    assert line_geometry(line_in(after)).shape is Shape.SPREADS


def test_a_line_of_one_leg_branches_in_its_middle() -> None:
    line = route("dis", Service.DISCHARGE, {"n1": (6.0, 0.0, 9.0), "n2": (6.0, 4.0, 9.0)}, ("d1", "n1", "n2"))
    after = acted(RunLinesTo("c1", "cond2"), second(line))
    assert (6.0, 2.0, 9.0) in places(after).values()
    assert (9.0, 2.0, 9.0) in places(after).values()
    assert line_geometry(line_in(after)).sources == ("n1",)


def test_a_condenser_at_another_height_is_reached_along_the_axes() -> None:
    moved = acted(MoveEquipment("c1", "cond2", (10.0, 5.5, 7.5)), second())
    after = acted(RunLinesTo("c1", "cond2"), moved)
    for name in ("dis", "liq"):
        at = places(after, name)
        for leg in line_in(after, name).legs:
            offset = [abs(b - a) for a, b in zip(at[leg.start], at[leg.end], strict=True)]
            assert sum(part > 1e-9 for part in offset) == 1
    assert places(after)[line_in(after).ends[-1].node] == (10.0, 5.5, 7.5)


def test_a_line_that_reaches_it_already_is_left_alone() -> None:
    after = acted(RunLinesTo("c1", "cond2"), second(DIS))
    assert not lines_short_of(circuit_in(after), equipment_of(circuit_in(after), "cond2"))
    error = refused(RunLinesTo("c1", "cond2"), after)
    assert (error.code, error.why) == ("ROUTE-10", "Loft condenser 2: every line of the circuit ends at it already.")
    both = replace(after, circuits=(replace(circuit_in(after), lines=(*circuit_in(after).lines, LIQ)),))
    assert line_in(acted(RunLinesTo("c1", "cond2"), both)) == line_in(after)


@pytest.mark.parametrize(
    ("equipment", "lines", "words"),
    [("unit", (DIS,), "it is a unit"), ("cond2", (), "no line reaches a condenser yet")],
)
def test_what_cannot_be_run_to_is_refused(equipment: str, lines: tuple[object, ...], words: str) -> None:
    job = acted(AddAnother("c1", "cond"), with_lines(*lines))  # type: ignore[arg-type]
    assert words in refused(RunLinesTo("c1", equipment), job).why


def test_a_branch_goes_as_one_and_the_rest_stays() -> None:
    before = second()
    run = acted(RunLinesTo("c1", "cond2"), before)
    after = acted(DeleteBranch("c1", "dis", "d6"), run)
    assert [leg.id for leg in line_in(after).legs] == [leg.id for leg in DIS.legs]
    assert line_in(after).ends == line_in(before).ends
    assert DeleteBranch("c1", "dis", "d6").label == "delete the branch of d6"


def test_a_leg_that_carries_the_whole_flow_is_no_branch() -> None:
    error = refused(DeleteBranch("c1", "dis", "d1"), acted(RunLinesTo("c1", "cond2"), second()))
    assert (error.code, error.why) == ("ROUTE-11", "d1 carries the whole flow of line dis; it is no branch.")


# Circuits


def test_a_duplicate_stands_behind_and_beside_the_first() -> None:
    after = acted(DuplicateCircuit("c1"))
    first, other = after.circuits
    assert (other.id, other.name) == ("c2", "Circuit 2")
    assert other.conditions == first.conditions
    for a, b in zip(first.equipment, other.equipment, strict=True):
        assert [y - x for x, y in zip(a.at_m, b.at_m, strict=True)] == pytest.approx([3.0, -3.0, 0.0])
    moved = {node.id: node for node in other.lines[0].nodes}
    assert moved["n1"] == Node("n1", (3.0, -3.0, 1.2))
    lengths = [[leg.length_m for leg in line_geometry(circuit.lines[0]).legs] for circuit in (first, other)]
    assert all(math.isclose(a, b, abs_tol=1e-9) for a, b in zip(*lengths, strict=True))
    third = acted(DuplicateCircuit("c1"), after)
    assert [(item.id, item.name) for item in third.circuits] == [
        ("c1", "Circuit 1"),
        ("c3", "Circuit 3"),
        ("c2", "Circuit 2"),
    ]


def test_a_circuit_beside_it_has_lines_that_wait_at_their_equipment() -> None:
    job = with_lines(DIS, LIQ)
    command = DuplicateCircuit("c1", lines=False)
    other = acted(command, job).circuits[1]
    assert command.label == "add a circuit beside c1"
    assert [(line.id, line.legs) for line in other.lines] == [("dis", ()), ("liq", ())]
    assert [line.ends[0].equipment for line in other.lines] == ["unit", "cond"]
    assert other.lines[0].nodes == (Node("n1", (3.0, -3.0, 1.2)),)
    assert [line.tube for line in other.lines] == [DIS.tube, LIQ.tube]
