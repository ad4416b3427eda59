"""The context menu: what can be done to the thing under the pointer, each entry one act."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import Protocol

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from linesizer.catalog.fittings import fitting_kind, fitting_kinds
from linesizer.catalog.parts import part_kind, part_kinds
from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.command import Command
from linesizer.document.commands.delete import DeleteBranch, DeleteLine, branch_legs
from linesizer.document.commands.fitting import SetFitting
from linesizer.document.commands.line import ReverseLine, RunAlongside, TieEnd
from linesizer.document.commands.parallel import AddAnother, RunLinesTo
from linesizer.document.commands.part import AddPart
from linesizer.document.commands.size import SetDoubleRiser, SetLegSize, SetLineSize
from linesizer.document.commands.split import SplitLeg
from linesizer.document.typed_size import USUAL_SEAL_m
from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.ports import port_for
from linesizer.domain.route import DoubleRiser, Leg, Line, Node, Service
from linesizer.drawing.display_list import Target
from linesizer.drawing.ties import free_nodes
from linesizer.ui.gestures.branch import branch_start
from linesizer.ui.gestures.delete import delete_command, delete_selected
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.gestures.resize import size_of, tube_of
from linesizer.ui.gestures.starts import Start, run_words, short_services
from linesizer.ui.sheet.found import Found
from linesizer.ui.sheet.handles import Handle

ALONGSIDE_m = (0.15, 0.15, 0.15)
"""How far a second line runs beside a first one, east, north and up: room for insulation and clips on every run."""

_MOST_PAIRS = 4


class MenuGround(Ground, Protocol):
    """The sheet as the menu needs it."""

    def draw_from(self, start: Start) -> None:
        """Begin to draw by mouse."""
        ...

    def edit_length(self, target: Target | None) -> None:
        """Open the field for a leg's length."""
        ...

    def edit_riser(self, target: Target, riser: DoubleRiser) -> None:
        """Open the field for the tubes of a double riser."""
        ...

    def fit(self) -> None:
        """Bring everything into sight."""
        ...

    def full_size(self) -> None:
        """Show it at 100 %."""
        ...


class ContextMenu(QMenu):
    """Made for what is selected, gone when it closes; ``at`` is the fraction of a leg under the pointer."""

    def __init__(
        self, ground: MenuGround, it: Found, at: float, handles: Iterable[Handle], parent: QWidget | None
    ) -> None:
        super().__init__(parent)
        self._ground = ground
        self._it = it
        self.aboutToHide.connect(self.deleteLater)
        for handle in handles:
            if handle.start is not None and (handle.start.node is not None or handle.start.line is None):
                words = handle.act[0].upper() + handle.act[1:]
                self._act(self, words, partial(ground.draw_from, handle.start))
        if it.circuit is not None and it.equipment is not None:
            self._equipment(it.circuit, it.equipment)
        if it.circuit is not None and it.line is not None:
            if it.leg is not None and it.part is None:
                self._leg(it.circuit, it.line, it.leg, at)
            if it.node is not None:
                self._node(it.circuit, it.line, it.node)
        command = delete_command(it)
        if command is not None and (it.line is None or it.leg is not None or it.node is not None):
            words = command.label[0].upper() + command.label[1:]
            self._act(self, f"{words}\tDel", partial(delete_selected, ground))
        if it.circuit is not None and it.line is not None and it.part is None:
            self._line(it.circuit, it.line)
        self.addSeparator()
        self._act(self, "Show all\tF", ground.fit)
        self._act(self, "100 %\tCtrl+1", ground.full_size)

    def _leg(self, circuit: Circuit, line: Line, leg: Leg, at: float) -> None:
        target = Target(circuit.id, line.id, leg.id)
        self._act(self, f"Length of {leg.id}…\tEnter", partial(self._ground.edit_length, target))
        now = size_of(self._ground, self._it)
        sizes = self.addMenu(f"Size of {leg.id}")
        group = QActionGroup(sizes)
        for size in tube_catalogue(tube_of(self._it)).size_names:
            action = self._command(sizes, size, SetLegSize(circuit.id, line.id, (leg.id,), size))
            _tick(action, group, size == now and leg.double_riser is None)
        sizes.addSeparator()
        self._command(sizes, "As the line, or open", SetLegSize(circuit.id, line.id, (leg.id,), None))
        self._double_riser(circuit, line, leg, now)
        parts = self.addMenu("Add a part")
        for kind in part_kinds():
            if line.service in part_kind(kind).services:
                self._command(parts, part_kind(kind).label, AddPart(circuit.id, line.id, leg.id, kind, at))
        self._command(self, f"Split {leg.id} here\tX", SplitLeg(circuit.id, line.id, leg.id, at))
        start = branch_start(self._ground, at)
        if start is not None:
            self._act(self, f"Branch off from {leg.id} here\tB", partial(self._ground.draw_from, start))
        if branch_legs(line, leg.id):
            self._command(self, f"Delete the branch of {leg.id}", DeleteBranch(circuit.id, line.id, leg.id))

    def _equipment(self, circuit: Circuit, equipment: Equipment) -> None:
        name = equipment.name or equipment.id
        services = short_services(circuit, equipment)
        if services:
            self._command(self, run_words(services, name), RunLinesTo(circuit.id, equipment.id))
        if equipment.role is Role.CONDENSER:
            self._command(self, f"Add another like {name}", AddAnother(circuit.id, equipment.id))

    def _double_riser(self, circuit: Circuit, line: Line, leg: Leg, now: str | None) -> None:
        geometry = self._it.geometry
        riser = leg.double_riser
        if riser is None and (geometry is None or geometry.rise_m < 0.7 * geometry.length_m or now is None):
            return
        pairs = riser_pairs(tube_of(self._it), now) if now is not None else ()
        target = Target(circuit.id, line.id, leg.id)
        risers = self.addMenu("Double riser" if riser is None else f"Double riser {riser.small} and {riser.large}")
        group = QActionGroup(risers)
        for small, large in pairs:
            new = DoubleRiser(small, large, USUAL_SEAL_m) if riser is None else replace(riser, small=small, large=large)
            action = self._command(risers, f"{small} and {large}", SetDoubleRiser(circuit.id, line.id, leg.id, new))
            _tick(action, group, riser == new)
        if pairs:
            risers.addSeparator()
        offered = riser or DoubleRiser(*(pairs[0] if pairs else (str(now), str(now))), USUAL_SEAL_m)
        self._act(risers, "Other sizes or seal…", partial(self._ground.edit_riser, target, offered))
        if riser is not None:
            self._command(self, "Single tube again", SetDoubleRiser(circuit.id, line.id, leg.id, None))

    def _node(self, circuit: Circuit, line: Line, node: Node) -> None:
        now = next((fitting.kind for fitting in line.fittings if fitting.node == node.id), None)
        fittings = self.addMenu(f"Fitting at {node.id}")
        group = QActionGroup(fittings)
        for kind in (None, *fitting_kinds()):
            label = "As the route has it" if kind is None else fitting_kind(kind).label
            _tick(self._command(fittings, label, SetFitting(circuit.id, line.id, node.id, kind)), group, kind == now)
        if any(node.id in ends for ends in free_nodes(line)):
            tied = next((end.equipment for end in line.ends if end.node == node.id), None)
            ties = self.addMenu(f"Tie {node.id} to")
            group = QActionGroup(ties)
            enters = node.id in free_nodes(line)[0]
            for equipment in circuit.equipment:
                port = port_for(equipment, line.service, enters=enters)
                command = TieEnd(circuit.id, line.id, node.id, equipment.id, port)
                words = ", ".join(part for part in (equipment.name or equipment.id, port) if part)
                _tick(self._command(ties, words, command), group, equipment.id == tied)
            _tick(self._command(ties, "Nothing", TieEnd(circuit.id, line.id, node.id, None)), group, tied is None)

    def _line(self, circuit: Circuit, line: Line) -> None:
        self.addSeparator()
        sizes = self.addMenu(f"Size of the whole line {line.id}")
        for size in tube_catalogue(line.tube).size_names:
            self._command(sizes, size, SetLineSize(circuit.id, line.id, size))
        if line.legs:
            beside = self.addMenu("Run a line alongside")
            here = {each.service for each in circuit.lines if each.legs}
            for service in sorted(Service, key=lambda each: each in here):
                command = RunAlongside(circuit.id, line.id, service, ALONGSIDE_m)
                self._command(beside, f"{service.value}, flow reversed", command)
            self._command(self, f"Reverse the flow of {line.id}", ReverseLine(circuit.id, line.id))
        self._command(self, f"Delete the whole line {line.id}", DeleteLine(circuit.id, line.id))

    def _command(self, menu: QMenu, words: str, command: Command) -> QAction:
        return self._act(menu, words, partial(self._ground.session.try_do, command))

    @staticmethod
    def _act(menu: QMenu, words: str, act: Callable[[], object]) -> QAction:
        action = menu.addAction(words)
        action.triggered.connect(partial(_run, act))
        return action


def _run(act: Callable[[], object], checked: bool = False) -> None:
    act()


def _tick(action: QAction, group: QActionGroup, ticked: bool) -> None:
    action.setCheckable(True)
    action.setChecked(ticked)
    group.addAction(action)


def riser_pairs(tube: str, now: str) -> tuple[tuple[str, str], ...]:
    """Return pairs of sizes that together have at least the area of one size, the small tube's smallest first."""
    sizes = tube_catalogue(tube).sizes
    place = next((i for i, row in enumerate(sizes) if row.size == now), None)
    if place is None:
        return ()
    wanted = sizes[place].inside_diameter_m ** 2
    pairs = []
    for small in sizes[max(0, place - _MOST_PAIRS) : place]:
        rest = wanted - small.inside_diameter_m**2
        large = next((row for row in sizes if row.inside_diameter_m**2 >= rest), None)
        if large is not None and large.inside_diameter_m >= small.inside_diameter_m:
            pairs.append((small.size, large.size))
    return tuple(pairs)
