"""The one gate behind every command: what it lets through can be saved, and it looks no further than it must."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

from linesizer.document.commands.equipment import MoveEquipment
from linesizer.document.document import Document
from linesizer.document.soundness import changed_lines, changed_part, require_route, require_sound
from linesizer.domain.circuit import Circuit
from linesizer.domain.job import Job, Room
from linesizer.domain.route import Line, Service
from linesizer.errors import UserError
from tests.document.jobs import EXAMPLE, line_in, refused, route, with_lines

OTHER = route("liq", Service.LIQUID, {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 1.0)}, ("l1", "a", "b"))
JOB = with_lines(line_in(EXAMPLE), OTHER)


@dataclass(frozen=True, slots=True)
class _Become:
    """An act that leaves behind whatever it is given."""

    job: Job

    @property
    def label(self) -> str:
        return "become another job"

    def apply(self, job: Job) -> Job:
        return self.job


def _circuit(**changes: object) -> Job:
    return replace(JOB, circuits=(replace(JOB.circuits[0], **changes),))  # type: ignore[arg-type]


def _lines(*lines: Line) -> Job:
    return _circuit(lines=lines)


DIS = line_in(JOB)
UNSOUND: list[tuple[Job, str]] = [
    (_lines(DIS, replace(OTHER, id="dis")), '"dis" is the id of circuits[0].lines[0] already'),
    (_lines(DIS, replace(OTHER, legs=(replace(OTHER.legs[0], end="z"),))), 'no node named "z"'),
    (_lines(DIS, replace(OTHER, legs=(replace(OTHER.legs[0], place="attic"),))), "attic"),
    (_lines(DIS, replace(OTHER, legs=(replace(OTHER.legs[0], size="9/9"),))), "9/9"),
    (_lines(replace(DIS, default_size="9/9"), OTHER), "9/9"),
    (_lines(replace(DIS, tube="hose"), OTHER), "hose"),
    (_circuit(equipment=JOB.circuits[0].equipment[:1]), "cond"),
    (_circuit(conditions=()), "conditions"),
    (_circuit(charge_condition="night"), "night"),
    (replace(JOB, site=replace(JOB.site, rooms=())), "plant"),
    (replace(JOB, site=replace(JOB.site, rooms=(*JOB.site.rooms, Room("plant")))), "plant"),
    (
        replace(JOB, circuits=(*JOB.circuits, replace(JOB.circuits[0], lines=()))),
        '"c1" is the id of circuits[0] already',
    ),
    (replace(JOB, practice=replace(JOB.practice, set="lax")), "lax"),
    (replace(JOB, info=replace(JOB.info, date="soon")), "soon"),
    (replace(JOB, circuits=()), "circuits"),
]


@pytest.mark.parametrize(("job", "words"), UNSOUND)
def test_nothing_unsound_is_left_behind(job: Job, words: str) -> None:
    error = refused(_Become(job), JOB)
    assert error.what == "Cannot become another job."
    assert words in error.why + error.remedy


def test_an_error_names_the_persons_own_object() -> None:
    circuit = JOB.circuits[0]
    weak = replace(circuit.conditions[1], capacity_W=-5.0)
    error = refused(_Become(_circuit(conditions=(circuit.conditions[0], weak))), JOB)
    assert error.why == 'Condition "Lowest step, winter", capacity: -5.'
    assert error.remedy.startswith("Allowed: a number above 0")
    error = refused(MoveEquipment("c1", "cond", (0.0, 0.0, 1e6)), with_lines())
    assert error.why == 'Equipment "Loft condenser", place: 1000000.'
    error = refused(_Become(_lines(DIS, replace(OTHER, legs=(replace(OTHER.legs[0], insulation_m=-1.0),)))), JOB)
    assert error.why == 'Leg "l1", insulation: -1.'


def test_more_than_one_thing_wrong_is_counted() -> None:
    bad = tuple(replace(condition, capacity_W=-1.0) for condition in JOB.circuits[0].conditions)
    assert "(and 1 more)" in refused(_Become(_circuit(conditions=bad)), JOB).why


def test_an_empty_job_may_stay_empty() -> None:
    document = Document()
    assert document.do(_Become(replace(document.job, info=replace(document.job.info, title="Loft"))))


def test_only_what_changed_is_looked_at() -> None:
    longer = replace(OTHER, nodes=(OTHER.nodes[0], replace(OTHER.nodes[1], at_m=(0.0, 0.0, 2.0))))
    after = _lines(DIS, longer)
    assert [line.id for _, line in changed_lines(JOB, after)] == ["liq"]
    part = changed_part(JOB, after).circuits[0]
    assert [(line.id, len(line.nodes), len(line.legs)) for line in part.lines] == [("dis", 0, 0), ("liq", 2, 0)]
    resized = _lines(DIS, replace(OTHER, legs=(replace(OTHER.legs[0], size="7/8"),)))
    assert [len(line.legs) for line in changed_part(JOB, resized).circuits[0].lines] == [0, 1]
    second: Circuit = replace(JOB.circuits[0], id="c2", lines=tuple(replace(line) for line in JOB.circuits[0].lines))
    wide = replace(JOB, circuits=(*JOB.circuits, second))
    parts = changed_part(wide, replace(wide, circuits=(JOB.circuits[0], replace(second, name="x"))))
    assert [[len(line.legs) for line in circuit.lines] for circuit in parts.circuits] == [[], [0, 0]]


def test_a_room_that_goes_is_missed_wherever_it_was_used() -> None:
    after = replace(JOB, site=replace(JOB.site, rooms=()))
    with pytest.raises(UserError, match="plant"):
        require_sound(JOB, after, "x")


def test_the_check_for_a_drag_looks_at_routes_alone() -> None:
    require_route(JOB, _lines(DIS, replace(OTHER, legs=(replace(OTHER.legs[0], size="9/9"),))), "x")
    folded = replace(OTHER, nodes=(OTHER.nodes[0], replace(OTHER.nodes[1], at_m=(0.0, 0.0, 0.0))))
    with pytest.raises(UserError, match="no length"):
        require_route(JOB, _lines(DIS, folded), "x")
