"""The drawing as it was last made, and whether it has to be made again before it is painted."""

from __future__ import annotations

from dataclasses import dataclass, replace

from PySide6.QtCore import QRectF

from linesizer.domain.finding import Level
from linesizer.domain.job import Job
from linesizer.domain.result import Result
from linesizer.drawing.display_list import Box, Hotspot, Ink, Layer, Primitive, Target, Text, TextSize
from linesizer.drawing.labels import HIDDEN, LabelSlots
from linesizer.drawing.options import LegNotes, SceneOptions
from linesizer.drawing.paper import paper
from linesizer.drawing.scene import Scene, build_scene
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session
from linesizer.ui.sheet.live_notes import finding_marks, leg_notes
from linesizer.ui.sheet.painter import Kit, Picture
from linesizer.ui.sheet.sight import Sight
from linesizer.ui.sheet.targets import target_of
from linesizer.units import System


@dataclass(frozen=True, slots=True)
class Drawn:
    """A drawing ready to be painted; ``figures`` are the live rows, painted in italics while they are not current."""

    scene: Scene
    picture: Picture
    figures: Picture
    bounds: QRectF | None


@dataclass(frozen=True, slots=True, eq=False)
class _Cause:
    """All that a drawing depends on; jobs and results are frozen and compared by identity."""

    job: Job
    result: Result | None
    condition: int
    selection: Selection
    sight: Sight
    units: System
    factor: float
    keep_labels: bool
    circuit: str | None

    def same_place(self, other: _Cause) -> bool:
        """Whether labels of the one may keep their slots in the other."""
        return (
            self.sight.view is other.sight.view
            and self.units == other.units
            and self.factor == other.factor
            and self.circuit == other.circuit
        )

    def same_route(self, other: _Cause) -> bool:
        """Whether nothing has moved: figures, sizes of letters in them, the selection may differ."""
        mine, others = self.job.circuits, other.job.circuits
        return (
            self.same_place(other)
            and self.sight.scale == other.sight.scale
            and len(mine) == len(others)
            and all(a.lines is b.lines and a.equipment is b.equipment for a, b in zip(mine, others, strict=True))
        )

    def leads_to(self, other: _Cause) -> bool:
        """Whether the drawing made for this one is also the other's."""
        same = (
            self.same_route(other)
            and self.result is other.result
            and self.condition == other.condition
            and self.selection == other.selection
        )
        if not same:
            return False
        # A drawing whose labels were laid out from scratch serves a drag too, but not the other way round.
        return other.keep_labels or not self.keep_labels


class DrawingCache:
    """Makes the drawing when something that it shows has changed, keeps it otherwise."""

    def __init__(self, session: Session, kit: Kit) -> None:
        self._session = session
        self._kit = kit
        self._drawn: Drawn | None = None
        self._cause: _Cause | None = None
        self._notes: dict[Target, LegNotes] = {}
        self._marks: dict[Target, Level] = {}
        self._notes_of: tuple[Result | None, int, System] | None = None
        self._paper: Picture | None = None
        self._paper_of: tuple[Sight, float, float, System] | None = None
        self.builds = 0
        """How often the drawing was made."""

    def use(self, kit: Kit) -> None:
        """Make everything anew with other colours or fonts."""
        self._kit = kit
        self._cause = self._paper_of = None

    @property
    def marks(self) -> dict[Target, Level]:
        """The findings' marks of the last result."""
        self._read_result()
        return self._marks

    @property
    def notes(self) -> dict[Target, LegNotes]:
        """The live rows of the last result."""
        self._read_result()
        return self._notes

    def options(self, sight: Sight, factor: float) -> SceneOptions:
        """Return how the session is drawn at a sight."""
        target = target_of(self._session.selection)
        chosen = frozenset() if target is None else frozenset((target,))
        system = self._session.units
        return SceneOptions(sight.view, sight.scale, system, factor, self.notes, self.marks, chosen, self._full)

    @property
    def _full(self) -> str | None:
        """The circuit that is drawn in full; None where the job has only one."""
        shown = self._session.shown_circuit
        return shown.id if shown is not None and len(self._session.shown_job.circuits) > 1 else None

    def drawn(self, sight: Sight, factor: float, *, keep_labels: bool) -> Drawn:
        """Return the drawing; during a drag ``keep_labels`` lets labels stay in the slots that they have."""
        session, held = self._session, self._cause
        cause = _Cause(
            session.shown_job,
            session.result,
            session.condition,
            session.selection,
            sight,
            session.units,
            factor,
            keep_labels,
            self._full,
        )
        if self._drawn is not None and held is not None and held.leads_to(cause):
            return self._drawn
        options = self.options(sight, factor)
        previous: LabelSlots | None = None
        if self._drawn is not None and held is not None:
            calm = held.same_route(cause) and not held.keep_labels
            if held.same_place(cause) and (keep_labels or calm):
                # What becomes selected gets its label even where it had found no room.
                slots = self._drawn.scene.slots.items()
                previous = {k: slot for k, slot in slots if slot != HIDDEN or k[0] not in options.selection}
        scene = build_scene(session.shown_job.circuits, options, previous)
        self._cause, self._drawn = cause, self._ready(scene)
        self.builds += 1
        return self._drawn

    def paper(self, sight: Sight, width: float, height: float) -> Picture:
        """Return the lines of the paper over the widget, in places of the sheet."""
        wanted = (sight, width, height, self._session.units)
        if self._paper is None or wanted != self._paper_of:
            left, top = sight.spot(0.0, 0.0)
            box = Box(left, top, left + width, top + height)
            self._paper = Picture(paper(sight.projection, box, self._session.units), self._kit)
            self._paper_of = wanted
        return self._paper

    def _ready(self, scene: Scene) -> Drawn:
        seconds = {note.second for note in self._notes.values()}
        live: list[Primitive] = []
        rest: list[Primitive] = []
        for item in scene.display.items:
            if isinstance(item, Hotspot):
                continue
            is_live = (
                isinstance(item, Text)
                and (item.layer, item.size, item.ink) == (Layer.LABEL, TextSize.LABEL, Ink.QUIET)
                and item.text in seconds
            )
            (live if is_live else rest).append(item)
        fixed, figures = (Picture(replace(scene.display, items=tuple(part)), self._kit) for part in (rest, live))
        return Drawn(scene, fixed, figures, _around(fixed.box, figures.box))

    def _read_result(self) -> None:
        session = self._session
        held = self._notes_of
        if held is None or held[0] is not session.result or held[1:] != (session.condition, session.units):
            self._notes = leg_notes(session.result, session.condition, session.units)
            self._marks = finding_marks(session.result)
            self._notes_of = (session.result, session.condition, session.units)


def _around(first: QRectF | None, second: QRectF | None) -> QRectF | None:
    if first is None or second is None:
        return first or second
    return first.united(second)
