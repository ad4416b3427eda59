"""The context menu: what can be done to the thing under the pointer, each entry one command."""

from __future__ import annotations

from functools import partial

from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu, QWidget

from linesizer.catalog.fittings import fitting_kind, fitting_kinds
from linesizer.catalog.parts import part_kind, part_kinds
from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.command import Command
from linesizer.document.commands.delete import DeleteLine
from linesizer.document.commands.fitting import SetFitting
from linesizer.document.commands.line import ReverseLine, RunAlongside, TieEnd
from linesizer.document.commands.part import AddPart
from linesizer.document.commands.size import SetDoubleRiser, SetLegSize, SetLineSize
from linesizer.document.commands.split import SplitLeg
from linesizer.domain.route import DoubleRiser, Service
from linesizer.drawing.ties import free_nodes
from linesizer.ui.gestures.delete import delete_command
from linesizer.ui.gestures.gesture import Ground
from linesizer.ui.gestures.resize import size_of, tube_of
from linesizer.ui.sheet.found import Found

ALONGSIDE_m = (0.15, 0.15, 0.15)
"""How far a second line runs beside a first one, east, north and up: room for insulation and clips on every run."""

LEAST_SEAL_m = 0.3
"""The seal that a double riser begins with; its findings say when it is too low."""

_MOST_PAIRS = 4


class ContextMenu:
    """Fills a menu for one thing; ``at`` is the fraction of a leg under the pointer."""

    def __init__(self, ground: Ground, it: Found, at: float) -> None:
        self._ground = ground
        self._it = it
        self._at = at

    def fill(self, menu: QMenu) -> None:
        """Add the entries of whatever it is."""
        it = self._it
        if it.leg is not None and it.part is None:
            self._leg(menu)
        if it.node is not None:
            self._node(menu)
        if it.leg is not None or it.node is not None or it.part is not None or it.equipment is not None:
            self._delete(menu)
        if it.line is not None and it.part is None:
            self._line(menu)

    def _leg(self, menu: QMenu) -> None:
        it = self._it
        assert it.circuit is not None
        assert it.line is not None
        assert it.leg is not None
        circuit, line, leg = it.circuit.id, it.line, it.leg
        now = size_of(self._ground, it)
        sizes = menu.addMenu(f"Size of {leg.id}")
        group = QActionGroup(sizes)
        for size in tube_catalogue(tube_of(it)).size_names:
            action = self._add(sizes, size, SetLegSize(circuit, line.id, (leg.id,), size))
            action.setCheckable(True)
            action.setChecked(size == now and leg.double_riser is None)
            group.addAction(action)
        sizes.addSeparator()
        self._add(sizes, "As the line, or open", SetLegSize(circuit, line.id, (leg.id,), None))
        parts = menu.addMenu("Add a part")
        for kind in part_kinds():
            if line.service in part_kind(kind).services:
                self._add(parts, part_kind(kind).label, AddPart(circuit, line.id, leg.id, kind, self._at))
        self._double_riser(menu, circuit, line.id, now)
        self._add(menu, f"Split {leg.id} here\tX", SplitLeg(circuit, line.id, leg.id, self._at))

    def _double_riser(self, menu: QMenu, circuit: str, line: str, now: str | None) -> None:
        leg = self._it.leg
        assert leg is not None
        if leg.double_riser is not None:
            self._add(menu, "Single tube again", SetDoubleRiser(circuit, line, leg.id, None))
            return
        geometry = self._it.geometry
        if geometry is None or geometry.rise_m < 0.7 * geometry.length_m or now is None:
            return
        pairs = riser_pairs(tube_of(self._it), now)
        if pairs:
            risers = menu.addMenu("Double riser")
            for small, large in pairs:
                riser = DoubleRiser(small, large, LEAST_SEAL_m)
                self._add(risers, f"{small} and {large}", SetDoubleRiser(circuit, line, leg.id, riser))

    def _node(self, menu: QMenu) -> None:
        it = self._it
        assert it.circuit is not None
        assert it.line is not None
        assert it.node is not None
        circuit, line, node = it.circuit, it.line, it.node
        now = next((fitting.kind for fitting in line.fittings if fitting.node == node.id), None)
        fittings = menu.addMenu(f"Fitting at {node.id}")
        group = QActionGroup(fittings)
        for kind in (None, *fitting_kinds()):
            label = "As the route has it" if kind is None else fitting_kind(kind).label
            action = self._add(fittings, label, SetFitting(circuit.id, line.id, node.id, kind))
            action.setCheckable(True)
            action.setChecked(kind == now)
            group.addAction(action)
        if any(node.id in ends for ends in free_nodes(line)):
            tied = next((end.equipment for end in line.ends if end.node == node.id), None)
            ties = menu.addMenu(f"Tie {node.id} to")
            for equipment in circuit.equipment:
                command = TieEnd(circuit.id, line.id, node.id, equipment.id)
                action = self._add(ties, equipment.name or equipment.id, command)
                action.setCheckable(True)
                action.setChecked(equipment.id == tied)
            ties.addSeparator()
            self._add(ties, "Nothing", TieEnd(circuit.id, line.id, node.id, None))

    def _delete(self, menu: QMenu) -> None:
        command = delete_command(self._it)
        if command is not None:
            label = command.label
            self._add(menu, f"{label[0].upper()}{label[1:]}\tDel", command)

    def _line(self, menu: QMenu) -> None:
        it = self._it
        assert it.circuit is not None
        assert it.line is not None
        circuit, line = it.circuit, it.line
        menu.addSeparator()
        sizes = menu.addMenu(f"Size of the whole line {line.id}")
        for size in tube_catalogue(line.tube).size_names:
            self._add(sizes, size, SetLineSize(circuit.id, line.id, size))
        if line.legs:
            beside = menu.addMenu("Run a line alongside")
            here = {each.service for each in circuit.lines if each.legs}
            for service in sorted(Service, key=lambda each: each in here):
                command = RunAlongside(circuit.id, line.id, service, ALONGSIDE_m)
                self._add(beside, f"{service.value}, flow reversed", command)
            self._add(menu, f"Reverse the flow of {line.id}", ReverseLine(circuit.id, line.id))
        self._add(menu, f"Delete the whole line {line.id}", DeleteLine(circuit.id, line.id))

    def _add(self, menu: QMenu, words: str, command: Command) -> QAction:
        action = menu.addAction(words)
        action.triggered.connect(partial(_run, self._ground, command))
        return action


def _run(ground: Ground, command: Command, checked: bool = False) -> None:
    ground.session.try_do(command)


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


def empty_menu(parent: QWidget) -> QMenu:
    """Return a menu that goes away when it is closed."""
    menu = QMenu(parent)
    menu.setToolTipsVisible(True)
    menu.aboutToHide.connect(menu.deleteLater)
    return menu
