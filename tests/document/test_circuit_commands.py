"""Parts, conditions, equipment, circuits and the job as a whole."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from linesizer.document.command import Command
from linesizer.document.commands.circuit import (
    DeleteCircuit,
    SetCircuitFields,
    SetCompressor,
    SetHeadPressureControl,
    SetRefrigerant,
    StartCircuit,
)
from linesizer.document.commands.condition import AddCondition, DeleteCondition, DuplicateCondition, SetConditionFields
from linesizer.document.commands.equipment import (
    AddEquipment,
    DeleteEquipment,
    MoveEquipment,
    SetEquipmentFields,
    SetMakerLimits,
    SetShares,
)
from linesizer.document.commands.job import (
    AddRoom,
    ClearPracticeOverride,
    DeleteRoom,
    SetJobInfo,
    SetPracticeOverride,
    SetPracticeSet,
    SetRoomFields,
    SetSite,
)
from linesizer.document.commands.part import AddPart, DeletePart, SetPartFields, SetPartLoss, SlidePart
from linesizer.domain.circuit import CompressorKind, HeadPressureControlKind, Use
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, MakerLimits, Role
from linesizer.domain.job import Job, Room
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import LineEnd, Service
from tests.document.jobs import EXAMPLE, acted, branching, circuit_in, leg_in, line_in, places, refused

START = StartCircuit("R410A", 50000.0, 5.0, 45.0, 6.0, 4.0, (0.0, 0.0, 0.0), (3.0, 4.0, 6.0))


def _equipment(job: Job, name: str) -> Equipment:
    return next(item for item in circuit_in(job).equipment if item.id == name)


def test_parts_come_slide_and_go() -> None:
    add = AddPart("c1", "dis", "d1", "check_valve", 0.2)
    after = acted(add)
    assert add.label == "add a check valve to d1"
    assert [(part.id, part.kind, part.at) for part in leg_in(after, "d1").parts] == [
        ("p2", "check_valve", 0.2),
        ("p1", "ball_valve", 0.5),
    ]
    slide = SlidePart("c1", "dis", "d1", "p2", 0.9)
    slid = acted(slide, after)
    assert slide.label == "slide p2 along d1"
    assert [part.id for part in leg_in(slid, "d1").parts] == ["p1", "p2"]
    loss = SetPartLoss("c1", "dis", "d1", "p2", PartLoss(kv_m3_h=8.0))
    stated = acted(loss, slid)
    assert loss.label == "set the loss of p2"
    assert leg_in(stated, "d1").parts[1] == Part("p2", "check_valve", 0.9, PartLoss(kv_m3_h=8.0))
    back = SetPartLoss("c1", "dis", "d1", "p2", None)
    assert back.label == "leave the loss of p2 to the catalogue"
    assert acted(back, stated) == slid
    fields = SetPartFields("c1", "dis", "d1", "p1", (("closes", True), ("kind", "solenoid_valve")))
    assert fields.label == "change closes and kind of p1"
    assert leg_in(acted(fields, slid), "d1").parts[0] == Part("p1", "solenoid_valve", 0.5, closes=True)
    delete = DeletePart("c1", "dis", "d1", "p1")
    assert delete.label == "delete p1 from d1"
    assert [part.id for part in leg_in(acted(delete, slid), "d1").parts] == ["p2"]


def test_a_parts_number_is_the_lines_not_the_legs() -> None:
    after = acted(AddPart("c1", "dis", "d2", "sight_glass"))
    assert leg_in(after, "d2").parts[0].id == "p2"


def test_conditions_come_and_go() -> None:
    add = AddCondition("c1", Condition("", 5e4, 40.0, 5.0, 3.0, name="Spring", evaporating_C=2.0))
    after = acted(add)
    assert add.label == "add condition Spring"
    assert [item.id for item in circuit_in(after).conditions] == ["full", "low", "condition"]
    copy = DuplicateCondition("c1", "full")
    copied = acted(copy, acted(copy))
    assert copy.label == "duplicate condition full"
    assert [(item.id, item.name) for item in circuit_in(copied).conditions] == [
        ("full", "Full load, summer"),
        ("full3", "Full load, summer, copy 2"),
        ("full2", "Full load, summer, copy"),
        ("low", "Lowest step, winter"),
    ]
    governed = acted(SetCircuitFields("c1", (("charge_condition", "low"),)))
    delete = DeleteCondition("c1", "low")
    gone = acted(delete, governed)
    assert delete.label == "delete condition low"
    assert [item.id for item in circuit_in(gone).conditions] == ["full"]
    assert circuit_in(gone).charge_condition is None
    error = refused(DeleteCondition("c1", "full"), gone)
    assert (error.code, "Full load, summer" in error.why) == ("CONDITION-01", True)


def test_values_of_a_condition_that_hold_only_together_change_together() -> None:
    changes = (("evaporating_C", None), ("leaving_fluid_C", 7.0), ("approach_K", 5.0))
    command = SetConditionFields("c1", "full", changes)
    after = circuit_in(acted(command)).conditions[0]
    assert command.label == "change 3 values of condition full"
    assert (after.evaporating_C, after.leaving_fluid_C, after.approach_K) == (None, 7.0, 5.0)
    error = refused(SetConditionFields("c1", "full", changes[:1]))
    assert "Full load, summer" in error.why


def test_equipment_comes_and_goes() -> None:
    add = AddEquipment("c1", Equipment("", Role.CONDENSER, at_m=(9.0, 4.0, 9.0), place="outdoor"))
    after = acted(add)
    assert add.label == "add a condenser"
    assert [item.id for item in circuit_in(after).equipment] == ["unit", "cond", "rec", "cond2"]
    change = SetEquipmentFields("c1", "cond", (("volume_m3", 0.03), ("design_td_K", 12.0)))
    assert change.label == "change volume and design temperature difference of cond"
    assert _equipment(acted(change), "cond").volume_m3 == 0.03
    delete = DeleteEquipment("c1", "cond")
    gone = acted(delete)
    assert delete.label == "delete cond"
    assert line_in(gone).ends == (LineEnd("n1", "unit", "discharge"),)
    assert places(gone) == places(EXAMPLE)
    with pytest.raises(ValueError, match="at_m"):
        SetEquipmentFields("c1", "cond", (("at_m", (0.0, 0.0, 0.0)),)).apply(EXAMPLE)


def test_a_maker_s_limits_come_and_go_with_their_figures() -> None:
    change = SetMakerLimits("c1", "unit", (("length_m", 30.0), ("liquid_sizes", ("7/8",))))
    after = acted(change)
    assert change.label == "change longest line and permitted liquid sizes of unit, by its maker"
    assert _equipment(after, "unit").maker_limits == MakerLimits(length_m=30.0, liquid_sizes=("7/8",))
    one_left = acted(SetMakerLimits("c1", "unit", (("length_m", None),)), after)
    assert _equipment(one_left, "unit").maker_limits == MakerLimits(liquid_sizes=("7/8",))
    none_left = acted(SetMakerLimits("c1", "unit", (("liquid_sizes", ()),)), one_left)
    assert _equipment(none_left, "unit").maker_limits is None
    with pytest.raises(ValueError, match="extra"):
        SetMakerLimits("c1", "unit", (("extra", ()),)).apply(EXAMPLE)


def test_equipment_that_moves_takes_its_lines_along_squarely() -> None:
    command = MoveEquipment("c1", "cond", (7.0, 6.0, 8.0))
    after = acted(command)
    assert command.label == "move cond"
    assert _equipment(after, "cond").at_m == (7.0, 6.0, 8.0)
    # East: the riser d3 and the run d4 are carried, d2 grows.  North: d4 grows.  Up: d4 is carried, d3 shrinks.
    assert places(after) == {
        "n1": (0.0, 0.0, 1.2),
        "n2": (0.0, 0.0, 3.4),
        "n3": (7.0, 0.0, 3.4),
        "n4": (7.0, 0.0, 8.0),
        "n5": (7.0, 6.0, 8.0),
    }
    assert acted(MoveEquipment("c1", "cond", (6.0, 4.0, 9.0)), after) == EXAMPLE


def test_equipment_at_both_ends_of_a_line_moves_it_once() -> None:
    circuit = circuit_in(branching())
    line = replace(circuit.lines[0], ends=(LineEnd("n4", "cond"), LineEnd("n5", "cond")))
    job = replace(EXAMPLE, circuits=(replace(circuit, lines=(line,)),))
    after = acted(MoveEquipment("c1", "cond", (6.0, 4.0, 10.0)), job)
    assert [at[2] for at in places(after).values()] == [0.0, 6.0, 6.0, 6.0, 6.0]


def test_equipment_without_a_line_moves_alone() -> None:
    after = acted(MoveEquipment("c1", "rec", (1.0, 1.0, 1.0)))
    assert line_in(after) == line_in(EXAMPLE)


def test_shares_change_together() -> None:
    two = acted(AddEquipment("c1", Equipment("cond2", Role.CONDENSER)))
    command = SetShares("c1", (("cond", 0.6), ("cond2", 0.4)))
    after = acted(command, two)
    assert command.label == "change the condensers' shares"
    assert [_equipment(after, name).share for name in ("cond", "cond2")] == [0.6, 0.4]
    assert "sum to 1.1" in str(refused(SetShares("c1", (("cond", 0.7),)), after))
    acted(SetShares("c1", (("cond", 0.7), ("cond2", None))), after)


def test_circuits_start_and_go() -> None:
    after = acted(START)
    assert START.label == "start a circuit with R410A"
    new = after.circuits[1]
    assert (new.id, new.name, new.heat_exchange) == ("c2", "Circuit 2", True)
    assert [(line.id, line.service, line.nodes[0].at_m) for line in new.lines] == [
        ("dis", Service.DISCHARGE, (0.0, 0.0, 0.0)),
        ("liq", Service.LIQUID, (3.0, 4.0, 6.0)),
    ]
    assert [line.ends for line in new.lines] == [(LineEnd("n1", "unit"),), (LineEnd("n1", "cond"),)]
    delete = DeleteCircuit("c1")
    assert delete.label == "delete circuit c1"
    assert acted(delete, after).circuits == (new,)
    assert refused(DeleteCircuit("c1")).code == "CIRCUIT-01"


@pytest.mark.parametrize(
    ("command", "label", "look", "expected"),
    [
        (SetRefrigerant("c1", "R513A"), "change refrigerant to R513A", lambda c: c.refrigerant, "R513A"),
        (
            SetCircuitFields("c1", (("use", Use.COMFORT), ("maximum_pressure_Pa", 2.4e6))),
            "change use and design pressure of circuit c1",
            lambda c: (c.use, c.maximum_pressure_Pa),
            (Use.COMFORT, 2.4e6),
        ),
        (
            SetCompressor("c1", (("kind", CompressorKind.SCREW),)),
            "change kind of the compressor",
            lambda c: c.compressor.kind,
            CompressorKind.SCREW,
        ),
        (
            SetHeadPressureControl("c1", (("kind", HeadPressureControlKind.FLOODING), ("minimum_condensing_C", 25.0))),
            "change kind and least condensing temperature of the head-pressure control",
            lambda c: (c.head_pressure_control.kind, c.head_pressure_control.minimum_condensing_C),
            (HeadPressureControlKind.FLOODING, 25.0),
        ),
    ],
)
def test_values_of_a_circuit(command: Command, label: str, look: object, expected: object) -> None:
    assert command.label == label
    assert look(circuit_in(acted(command))) == expected  # type: ignore[operator]


@pytest.mark.parametrize(
    ("command", "label", "look", "expected"),
    [
        (SetJobInfo((("revision", "B"),)), "change revision of the title block", lambda j: j.info.revision, "B"),
        (SetSite((("altitude_m", 1500.0),)), "change altitude of the site", lambda j: j.site.altitude_m, 1500.0),
        (
            AddRoom(Room("", "Loft", 40.0)),
            "add room Loft",
            lambda j: [room.id for room in j.site.rooms],
            ["plant", "room"],
        ),
        (AddRoom(Room("outdoor")), "add room outdoor", lambda j: j.site.rooms[1].id, "outdoor2"),
        (
            SetRoomFields("plant", (("occupied", True),)),
            "change occupied of room plant",
            lambda j: j.site.rooms[0].occupied,
            True,
        ),
        (
            SetPracticeOverride("discharge_penalty_K", 1.5),
            "set the job's own discharge_penalty_K",
            lambda j: dict(j.practice.overrides),
            {"discharge_penalty_K": 1.5},
        ),
        (
            ClearPracticeOverride("discharge_penalty_K"),
            "leave discharge_penalty_K to the practice set",
            lambda j: j.practice.overrides,
            (),
        ),
    ],
)
def test_values_of_the_job(command: Command, label: str, look: object, expected: object) -> None:
    assert command.label == label
    assert look(acted(command)) == expected  # type: ignore[operator]


def test_an_empty_room_can_go_and_one_in_use_cannot() -> None:
    after = acted(AddRoom(Room("loft")))
    assert DeleteRoom("loft").label == "delete room loft"
    assert acted(DeleteRoom("loft"), after) == EXAMPLE
    error = refused(DeleteRoom("plant"))
    assert error.code == "ROOM-01"
    assert "Indoor unit" in error.why
    assert "d1, d2" in error.why


@pytest.mark.parametrize(
    ("command", "code", "words"),
    [
        (AddPart("c1", "dis", "d1", "funnel"), "EDIT-01", "funnel"),
        (AddPart("c1", "dis", "d1", "ball_valve", 1.5), "EDIT-01", "1.5"),
        (SlidePart("c1", "dis", "d1", "p1", math.nan), "EDIT-01", "NaN"),
        (SlidePart("c1", "dis", "d1", "p9", 0.5), "EDIT-02", "It has p1."),
        (SetPartLoss("c1", "dis", "d1", "p1", PartLoss()), "EDIT-01", "exactly one of"),
        (DeletePart("c1", "dis", "d2", "p1"), "EDIT-02", "It has none yet."),
        (SetConditionFields("c1", "full", (("capacity_W", 0.0),)), "EDIT-01", "capacity: "),
        (SetConditionFields("c1", "full", (("condensing_C", 150.0),)), "EDIT-01", "condensing temperature: "),
        (SetConditionFields("c1", "night", (("capacity_W", 1.0),)), "EDIT-02", "full, low"),
        (AddCondition("c1", Condition("x", 1e4, 40.0, 5.0, 3.0)), "EDIT-01", "no evaporating temperature"),
        (SetEquipmentFields("c1", "cond", (("place", "attic"),)), "EDIT-01", "attic"),
        (MoveEquipment("c1", "cond", (math.nan, 0.0, 0.0)), "EQUIPMENT-01", "not a finite number"),
        (MoveEquipment("c1", "cond", (0.0, 0.0, 1e6)), "EDIT-01", "10000"),
        (MoveEquipment("c1", "tank", (0.0, 0.0, 0.0)), "EDIT-02", "unit, cond, rec"),
        (SetRefrigerant("c1", "R1340"), "EDIT-01", "R134a"),
        (SetRefrigerant("c1", "R744"), "EDIT-01", "Full load, summer"),
        (SetCircuitFields("c1", (("charge_condition", "night"),)), "EDIT-01", "night"),
        (SetCompressor("c1", (("isentropic_efficiency", 1.2),)), "EDIT-01", "1.2"),
        (replace(START, capacity_W=-1.0), "EDIT-01", "capacity: "),
        (SetJobInfo((("date", "2026-02-30"),)), "EDIT-01", "2026-02-30"),
        (SetSite((("altitude_m", 9500.0),)), "EDIT-01", "9500"),
        (AddRoom(Room("loft", volume_m3=0.0)), "EDIT-01", "or leave it empty"),
        (SetRoomFields("loft", (("occupied", True),)), "EDIT-02", "plant"),
        (SetPracticeSet("lax"), "EDIT-01", "lax"),
        (SetPracticeOverride("discharge_penalty_K", -1.0), "EDIT-01", "-1"),
        (SetPracticeOverride("no_such_rule", 1.0), "EDIT-01", "no_such_rule"),
    ],
)
def test_what_cannot_be_is_refused(command: Command, code: str, words: str) -> None:
    error = refused(command)
    assert error.code == code
    assert words in str(error)
    assert str(error).startswith("There is no" if code == "EDIT-02" else "Cannot ")
    if code == "EDIT-02":
        assert error.remedy.startswith("Add a" if "none yet" in error.why else "Choose one of these")
