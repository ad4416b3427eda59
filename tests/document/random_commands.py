"""Random acts on a job, mostly possible ones, for property tests."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from linesizer.catalog.fittings import fitting_kinds
from linesizer.catalog.parts import part_kinds
from linesizer.catalog.practice import practice_sets, rule_names
from linesizer.catalog.tubes import tube_catalogue, tube_ids
from linesizer.document.command import Command
from linesizer.document.commands.circuit import (
    DeleteCircuit,
    DuplicateCircuit,
    SetCircuitFields,
    SetCompressor,
    SetHeadPressureControl,
    SetRefrigerant,
    StartCircuit,
)
from linesizer.document.commands.condition import (
    AddCondition,
    DeleteCondition,
    DuplicateCondition,
    SetConditionFields,
)
from linesizer.document.commands.delete import DeleteBranch, DeleteLeg, DeleteLine
from linesizer.document.commands.draw import DrawLeg, LegRow, PasteLegs
from linesizer.document.commands.equipment import (
    AddEquipment,
    DeleteEquipment,
    MoveEquipment,
    SetEquipmentFields,
    SetMakerLimits,
    SetShares,
)
from linesizer.document.commands.fitting import SetFitting
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
from linesizer.document.commands.line import AddLine, ReverseLine, RunAlongside, SetLineFields, TieEnd
from linesizer.document.commands.node import MoveNode, MoveNodeTo, SetLegLength
from linesizer.document.commands.parallel import AddAnother, RunLinesTo
from linesizer.document.commands.part import AddPart, DeletePart, SetPartFields, SetPartLoss, SlidePart
from linesizer.document.commands.size import (
    SetDoubleRiser,
    SetLegFields,
    SetLegSize,
    SetLineSize,
    SetLineTube,
    SetRiserSize,
)
from linesizer.document.commands.split import JoinLegs, SplitLeg
from linesizer.document.direction import Axis, Direction
from linesizer.domain.circuit import CompressorKind, HeadPressureControlKind, Use
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.job import Job, Room
from linesizer.domain.part import PartLoss
from linesizer.domain.route import DoubleRiser, Joint, Service
from linesizer.properties import library

lengths = st.sampled_from([0.5, 1.0, 2.0, 3.4, 3.5052]) | st.floats(0.0, 20.0)
coordinates = st.sampled_from([0.0, 1.0, -2.0, 3.5]) | st.floats(-30.0, 30.0)
points = st.tuples(coordinates, coordinates, coordinates)
names = st.sampled_from(["", "a", "unit", "full", "Roof"])
fractions = st.floats(0.0, 1.0)


@st.composite
def commands(draw: st.DrawFn, job: Job) -> Command:
    """Return an act on one of the job's own objects; an object that is missing now and then."""
    return draw(st.sampled_from(_MAKERS))(draw, job)


def _one(draw: st.DrawFn, items: list[str]) -> str:
    """Return one of the names, or now and then one that is not there."""
    if not items or draw(st.integers(0, 19)) == 19:
        return "nowhere"
    return draw(st.sampled_from(items))


class _Aim:
    """A circuit, line, leg and the like of the job, each drawn when it is asked for."""

    def __init__(self, draw: st.DrawFn, job: Job) -> None:
        self.draw = draw
        self.job = job
        self.circuit = _one(draw, [circuit.id for circuit in job.circuits])
        circuit = next((item for item in job.circuits if item.id == self.circuit), None)
        self._circuit = circuit
        self.lines = list(circuit.lines) if circuit else []
        self.line = _one(draw, [line.id for line in self.lines])
        line = next((item for item in self.lines if item.id == self.line), None)
        self.legs = [leg.id for leg in line.legs] if line else []
        self.nodes = [node.id for node in line.nodes] if line else []
        self.points = [node.at_m for node in line.nodes] if line else []
        self.tube = line.tube if line else "ASTM-B280-drawn"
        self._line = line

    def leg(self) -> str:
        return _one(self.draw, self.legs)

    def some_legs(self) -> tuple[str, ...]:
        return tuple(self.draw(st.lists(st.sampled_from(self.legs), min_size=1, max_size=4))) if self.legs else ("x",)

    def node(self) -> str:
        return _one(self.draw, self.nodes)

    def condition(self) -> str:
        return _one(self.draw, [item.id for item in self._circuit.conditions] if self._circuit else [])

    def equipment(self) -> str:
        return _one(self.draw, [item.id for item in self._circuit.equipment] if self._circuit else [])

    def part(self) -> tuple[str, str]:
        parts = [(leg.id, part.id) for leg in self._line.legs for part in leg.parts] if self._line else []
        return self.draw(st.sampled_from(parts)) if parts else (self.leg(), "p1")

    def room(self) -> str:
        return _one(self.draw, [room.id for room in self.job.site.rooms])

    def place(self) -> str:
        return self.draw(st.sampled_from(["indoor", "outdoor", "nowhere", *(room.id for room in self.job.site.rooms)]))

    def size(self) -> str:
        return self.draw(st.sampled_from(tube_catalogue(self.tube).size_names))


def _draw_leg(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    middle = [
        tuple((a + b) / 2 for a, b in zip(one, other, strict=True))
        for one, other in zip(aim.points, aim.points[1:], strict=False)
    ]
    start: Any = draw(st.sampled_from([*aim.nodes, *middle])) if aim.nodes else draw(points)
    direction = draw(st.sampled_from(Direction) | points)
    upstream = draw(st.sampled_from([None, None, None, True, False]))
    return DrawLeg(aim.circuit, aim.line, start, direction, draw(lengths), upstream)


def _paste(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    rows = draw(
        st.lists(
            st.builds(
                LegRow,
                offset_m=points,
                place=st.sampled_from([None, "outdoor"]),
                fall=st.sampled_from([0.0, 0.01]),
                insulation_m=st.sampled_from([None, 0.019]),
            ),
            max_size=3,
        )
    )
    return PasteLegs(aim.circuit, aim.line, aim.node(), tuple(rows))


def _part(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    leg, part = aim.part()
    loss = draw(st.sampled_from([None, PartLoss(k=2.0), PartLoss(), PartLoss(drop_Pa=900.0, at_kg_s=0.4)]))
    return draw(
        st.sampled_from(
            [
                AddPart(aim.circuit, aim.line, aim.leg(), draw(st.sampled_from(part_kinds())), draw(fractions)),
                SlidePart(aim.circuit, aim.line, leg, part, draw(st.floats(-0.2, 1.2))),
                SetPartLoss(aim.circuit, aim.line, leg, part, loss),
                SetPartFields(aim.circuit, aim.line, leg, part, (("closes", draw(st.sampled_from([None, True]))),)),
                DeletePart(aim.circuit, aim.line, leg, part),
            ]
        )
    )


def _sizes(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    size = draw(st.sampled_from([None, aim.size(), "9-9/9"]))
    changes = draw(
        st.sampled_from(
            [
                (("place", aim.place()),),
                (("insulation_m", draw(st.sampled_from([0.0, 0.019, -1.0]))),),
                (("joint", draw(st.sampled_from(Joint))), ("fall", draw(st.sampled_from([0.0, 0.01, 3.0])))),
                (("tube", draw(st.sampled_from([None, *tube_ids(), "string"]))),),
            ]
        )
    )
    riser = draw(st.sampled_from([None, DoubleRiser(aim.size(), aim.size(), 0.3)]))
    return draw(
        st.sampled_from(
            [
                SetLegSize(aim.circuit, aim.line, aim.some_legs(), size),
                SetRiserSize(aim.circuit, aim.line, size),
                SetLineSize(aim.circuit, aim.line, size),
                SetLineTube(aim.circuit, aim.line, draw(st.sampled_from(tube_ids()))),
                SetLegFields(aim.circuit, aim.line, aim.some_legs(), changes),
                SetDoubleRiser(aim.circuit, aim.line, aim.leg(), riser),
                SetFitting(aim.circuit, aim.line, aim.node(), draw(st.sampled_from([None, *fitting_kinds(), "knot"]))),
            ]
        )
    )


def _line(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    service = draw(st.sampled_from(Service))
    return draw(
        st.sampled_from(
            [
                AddLine(aim.circuit, service),
                AddLine(aim.circuit, service, equipment=aim.equipment()),
                ReverseLine(aim.circuit, aim.line),
                RunAlongside(aim.circuit, aim.line, service, draw(points), draw(st.booleans())),
                TieEnd(aim.circuit, aim.line, aim.node(), draw(st.sampled_from([None, aim.equipment()]))),
                SetLineFields(aim.circuit, aim.line, (("listed_rating_Pa", draw(st.sampled_from([None, 3e6, 5.0]))),)),
                DeleteLine(aim.circuit, aim.line),
            ]
        )
    )


def _circuit(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    temperature = draw(st.floats(-40.0, 60.0))
    return draw(
        st.sampled_from(
            [
                StartCircuit("R134a", 5e4, 2.0, 45.0, 6.0, 4.0, (0.0, 0.0, 0.0), draw(points)),
                DeleteCircuit(aim.circuit),
                SetRefrigerant(aim.circuit, draw(st.sampled_from([*library.names(), "R0"]))),
                SetCircuitFields(aim.circuit, (("use", draw(st.sampled_from(Use))), ("heat_exchange", True))),
                SetCircuitFields(aim.circuit, (("charge_condition", draw(st.sampled_from([None, aim.condition()]))),)),
                SetCompressor(aim.circuit, (("kind", draw(st.sampled_from(CompressorKind))),)),
                SetCompressor(aim.circuit, (("isentropic_efficiency", draw(st.floats(0.0, 1.2))),)),
                SetHeadPressureControl(aim.circuit, (("kind", draw(st.sampled_from(HeadPressureControlKind))),)),
                SetHeadPressureControl(aim.circuit, (("minimum_condensing_C", temperature),)),
            ]
        )
    )


def _condition(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    new = Condition(draw(names), draw(st.floats(-1.0, 1e5)), 40.0, 5.0, 3.0, evaporating_C=draw(st.floats(-30.0, 50.0)))
    change = draw(
        st.sampled_from(
            [
                (("capacity_W", draw(st.floats(-10.0, 1e6))),),
                (("condensing_C", draw(st.floats(-40.0, 90.0))),),
                (("evaporating_C", None), ("leaving_fluid_C", 7.0), ("approach_K", 5.0)),
                (("name", draw(st.text(max_size=5))),),
                (("bypass", draw(fractions)), ("superheat_K", draw(st.floats(0.0, 30.0)))),
            ]
        )
    )
    return draw(
        st.sampled_from(
            [
                AddCondition(aim.circuit, new),
                DuplicateCondition(aim.circuit, aim.condition()),
                DeleteCondition(aim.circuit, aim.condition()),
                SetConditionFields(aim.circuit, aim.condition(), change),
            ]
        )
    )


def _equipment(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    circuit = next((item for item in job.circuits if item.id == aim.circuit), None)
    condensers = [item.id for item in circuit.equipment if item.role is Role.CONDENSER] if circuit else []
    shares = tuple((name, draw(st.sampled_from([None, 0.5, 1.0]))) for name in condensers)
    return draw(
        st.sampled_from(
            [
                AddEquipment(aim.circuit, Equipment(draw(names), draw(st.sampled_from(Role)), at_m=draw(points))),
                SetEquipmentFields(aim.circuit, aim.equipment(), (("place", aim.place()),)),
                SetEquipmentFields(aim.circuit, aim.equipment(), (("volume_m3", draw(st.floats(-1.0, 1.0))),)),
                SetMakerLimits(aim.circuit, aim.equipment(), (("lift_m", draw(st.sampled_from([None, 9.0, -1.0]))),)),
                SetShares(aim.circuit, shares),
                MoveEquipment(aim.circuit, aim.equipment(), draw(points)),
                DeleteEquipment(aim.circuit, aim.equipment()),
            ]
        )
    )


def _job(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    rule = draw(st.sampled_from([*rule_names(job.practice.set), "no such rule"]))
    return draw(
        st.sampled_from(
            [
                SetJobInfo((("title", draw(st.text(max_size=5))),)),
                SetJobInfo((("date", draw(st.sampled_from(["", "2026-02-30", "2026-11-24"]))),)),
                SetSite((("altitude_m", draw(st.floats(-600.0, 9500.0))),)),
                AddRoom(Room(draw(names), volume_m3=draw(st.sampled_from([None, 40.0, -1.0])))),
                SetRoomFields(aim.room(), (("occupied", True), ("name", draw(names)))),
                DeleteRoom(aim.room()),
                SetPracticeSet(draw(st.sampled_from([*practice_sets(), "lax"]))),
                SetPracticeOverride(rule, draw(st.floats(0.0, 5.0))),
                ClearPracticeOverride(rule),
            ]
        )
    )


def _move(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    distance = draw(st.sampled_from([0.5, -1.0, 2.0]) | st.floats(-20.0, 20.0))
    return draw(
        st.sampled_from(
            [
                MoveNode(aim.circuit, aim.line, aim.node(), draw(st.sampled_from(Axis)), distance),
                MoveNodeTo(aim.circuit, aim.line, aim.node(), draw(points), draw(st.booleans())),
                SetLegLength(aim.circuit, aim.line, aim.leg(), draw(lengths)),
            ]
        )
    )


def _cut(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    neighbours = [(one, other) for one, other in zip(aim.legs, aim.legs[1:], strict=False)]
    first, second = draw(st.sampled_from(neighbours)) if neighbours else (aim.leg(), aim.leg())
    return draw(
        st.sampled_from(
            [
                SplitLeg(aim.circuit, aim.line, aim.leg(), draw(fractions)),
                SplitLeg(aim.circuit, aim.line, aim.leg()),
                JoinLegs(aim.circuit, aim.line, first, second),
                JoinLegs(aim.circuit, aim.line, second, first),
                DeleteLeg(aim.circuit, aim.line, aim.leg()),
            ]
        )
    )


def _parallel(draw: st.DrawFn, job: Job) -> Command:
    aim = _Aim(draw, job)
    equipment = aim.equipment()
    return draw(
        st.sampled_from(
            [
                AddAnother(aim.circuit, equipment),
                RunLinesTo(aim.circuit, equipment),
                RunLinesTo(aim.circuit, equipment),
                DeleteBranch(aim.circuit, aim.line, aim.leg()),
                DuplicateCircuit(aim.circuit, draw(st.booleans())),
                DrawLeg(aim.circuit, aim.line, aim.node(), draw(st.sampled_from(Direction)), 2.0, equipment=equipment),
            ]
        )
    )


_MAKERS: list[Callable[[st.DrawFn, Job], Command]] = [
    _draw_leg,
    _draw_leg,
    _paste,
    _move,
    _move,
    _cut,
    _cut,
    _sizes,
    _part,
    _line,
    _circuit,
    _condition,
    _equipment,
    _parallel,
    _parallel,
    _job,
]
