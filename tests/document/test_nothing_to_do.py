"""Acts that ask for what is so already: the very same job comes back, and no step is made."""

from __future__ import annotations

import pytest

from linesizer.document.command import Command
from linesizer.document.commands.circuit import SetCircuitFields, SetCompressor, SetHeadPressureControl, SetRefrigerant
from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.commands.draw import PasteLegs
from linesizer.document.commands.equipment import (
    MoveEquipment,
    SetEquipmentFields,
    SetMakerLimits,
    SetShares,
)
from linesizer.document.commands.fitting import SetFitting
from linesizer.document.commands.job import (
    ClearPracticeOverride,
    SetJobInfo,
    SetPracticeOverride,
    SetPracticeSet,
    SetRoomFields,
    SetSite,
)
from linesizer.document.commands.node import MoveNode, MoveNodeTo, SetLegLength
from linesizer.document.commands.part import SetPartFields, SetPartLoss, SlidePart
from linesizer.document.commands.restore import RestoreJob
from linesizer.document.commands.size import SetDoubleRiser, SetLegFields, SetLegSize, SetLineSize, SetLineTube
from linesizer.document.direction import Axis
from linesizer.document.document import Document
from linesizer.domain.circuit import CompressorKind, HeadPressureControlKind
from tests.document.jobs import EXAMPLE, leg_in

RISER = leg_in(EXAMPLE, "d3").double_riser

NOTHING: list[Command] = [
    ClearPracticeOverride("suction_penalty_K"),
    MoveEquipment("c1", "cond", (6.0, 4.0, 9.0)),
    MoveNode("c1", "dis", "n3", Axis.UP, 0.0),
    MoveNodeTo("c1", "dis", "n3", (6.0, 0.0, 3.4)),
    PasteLegs("c1", "dis", "n5", ()),
    RestoreJob(EXAMPLE),
    SetCircuitFields("c1", (("oil", "POE"),)),
    SetCompressor("c1", (("kind", CompressorKind.SCROLL),)),
    SetConditionFields("c1", "full", (("capacity_W", 105000.0),)),
    SetDoubleRiser("c1", "dis", "d3", RISER),
    SetEquipmentFields("c1", "cond", (("design_td_K", 15.0),)),
    SetFitting("c1", "dis", "n3", "trap"),
    SetFitting("c1", "dis", "n4", None),
    SetHeadPressureControl("c1", (("kind", HeadPressureControlKind.FAN_CYCLING),)),
    SetJobInfo((("revision", "A"),)),
    SetLegFields("c1", "dis", ("d1", "d2"), (("joint", leg_in(EXAMPLE, "d1").joint),)),
    SetLegLength("c1", "dis", "d2", 6.0),
    SetLegSize("c1", "dis", ("d1", "d2"), "1-5/8"),
    SetLineTube("c1", "dis", "ASTM-B280-drawn"),
    SetMakerLimits("c1", "cond", (("lift_m", None),)),
    SetPartFields("c1", "dis", "d1", "p1", (("kind", "ball_valve"),)),
    SetPartLoss("c1", "dis", "d1", "p1", None),
    SetPracticeOverride("discharge_penalty_K", 1.0),
    SetPracticeSet("general"),
    SetRefrigerant("c1", "R134a"),
    SetRoomFields("plant", (("name", "Plant room"),)),
    SetShares("c1", (("cond", None),)),
    SetSite((("altitude_m", 210.0),)),
    SlidePart("c1", "dis", "d1", "p1", 0.5),
]


@pytest.mark.parametrize("command", NOTHING, ids=lambda command: type(command).__name__)
def test_what_is_so_already_is_no_step(command: Command) -> None:
    document = Document()
    document.recover(EXAMPLE, None)
    assert document.do(command) is False
    assert document.job is EXAMPLE
    assert document.undo_label == "recover lost work"


def test_a_size_that_the_line_has_already_is_no_step() -> None:
    document = Document()
    document.recover(EXAMPLE, None)
    assert document.do(SetLineSize("c1", "dis", "1-3/8"))
    assert document.do(SetLineSize("c1", "dis", "1-3/8")) is False
