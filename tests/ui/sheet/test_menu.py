"""The menu says in words what can be done to a thing; every entry is one undoable act."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu
from pytestqt.qtbot import QtBot

from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.commands.size import SetDoubleRiser
from linesizer.domain.route import DoubleRiser, Leg, LineEnd, Service
from linesizer.ui.gestures.draw_leg import DrawByMouse
from linesizer.ui.selection import Selection
from linesizer.ui.sheet.menu import ContextMenu, riser_pairs
from linesizer.ui.sheet.sheet import Sheet
from tests.ui.on_sheet import LEFT, C, geometry_of, leg_pos, node_pos, sheet_over
from tests.ui.opened import line_of, select

# A menu asks the platform for more than one without a screen can do.
pytestmark = pytest.mark.qt_log_ignore("does not support (propagateSizeHints|raise|grabbing the keyboard)", extend=True)


def entry(menu: QMenu, *path: str) -> QAction:
    """Return an entry by the beginnings of its words, menu by menu."""
    here = menu
    for depth, words in enumerate(path):
        found = [action for action in here.actions() if action.text().startswith(words)]
        assert found, (words, [action.text() for action in here.actions()])
        if depth == len(path) - 1:
            return found[0]
        inner = found[0].menu()
        assert isinstance(inner, QMenu)
        here = inner
    raise AssertionError(path)


def menu_of(sheet: Sheet) -> ContextMenu:
    return sheet.context_menu(None)


def undone(sheet: Sheet) -> None:
    before = sheet.session.document.undo_label
    assert before is not None
    sheet.session.document.undo()
    assert sheet.session.document.undo_label is None


def test_a_leg_takes_any_size_of_its_catalogue(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    menu = menu_of(sheet)
    sizes = entry(menu, "Size of d3").menu()
    assert isinstance(sizes, QMenu)
    words = [action.text() for action in sizes.actions() if action.isCheckable()]
    assert tuple(words) == tube_catalogue("ASTM-B280-drawn").size_names
    assert [action.text() for action in sizes.actions() if action.isChecked()] == ["1-5/8"]
    entry(menu, "Size of d3", "1-3/8").trigger()
    assert next(leg for leg in line_of(sheet.session, "dis").legs if leg.id == "d3").size == "1-3/8"
    undone(sheet)


def test_a_part_is_added_where_the_pointer_is(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    at = sheet._pointer(*leg_pos(sheet, "d2", share=0.25).toTuple(), Qt.KeyboardModifier.NoModifier)
    menu = sheet.context_menu(at)
    entry(menu, "Add a part", "Muffler").trigger()
    part = next(leg for leg in line_of(sheet.session, "dis").legs if leg.id == "d2").parts[-1]
    assert (part.kind, part.at) == ("muffler", pytest.approx(0.25, abs=0.01))
    undone(sheet)
    kinds = entry(menu, "Add a part").menu()
    assert isinstance(kinds, QMenu)
    assert "Sight glass" not in [action.text() for action in kinds.actions()]


def test_split_delete_reverse_and_run_alongside(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    entry(menu_of(sheet), "Split d3").trigger()
    assert geometry_of(sheet, "d3").length_m == pytest.approx(2.8)
    undone(sheet)
    entry(menu_of(sheet), "Delete d3").trigger()
    assert [leg.id for leg in line_of(sheet.session, "dis").legs] == ["d1", "d2", "d4"]
    undone(sheet)
    select(sheet.session, "dis", "d3")
    entry(menu_of(sheet), "Reverse the flow of dis").trigger()
    assert line_of(sheet.session, "dis").legs[0].id == "d4"
    undone(sheet)
    entry(menu_of(sheet), "Run a line alongside", "drain").trigger()
    assert sheet.session.job.circuits[0].lines[-1].service is Service.DRAIN
    undone(sheet)
    entry(menu_of(sheet), "Size of the whole line", "2-1/8").trigger()
    assert {leg.size for leg in line_of(sheet.session, "dis").legs} == {None}
    assert line_of(sheet.session, "dis").default_size == "2-1/8"
    undone(sheet)
    entry(menu_of(sheet), "Delete the whole line").trigger()
    assert len(sheet.session.job.circuits[0].lines) == 1
    undone(sheet)


def test_only_a_riser_becomes_a_double_riser_and_a_single_one_again(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    assert not [each for each in menu_of(sheet).actions() if each.text().startswith("Double riser")]
    select(sheet.session, "dis", "d3")
    entry(menu_of(sheet), "Double riser", "7/8 and 1-5/8").trigger()
    riser = next(leg for leg in line_of(sheet.session, "dis").legs if leg.id == "d3").double_riser
    assert riser is not None
    assert (riser.small, riser.large, riser.seal_m) == ("7/8", "1-5/8", 0.3)
    entry(menu_of(sheet), "Single tube again").trigger()
    assert next(leg for leg in line_of(sheet.session, "dis").legs if leg.id == "d3").double_riser is None


def test_a_double_riser_takes_another_pair_and_keeps_its_seal(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.do(SetDoubleRiser(C, "dis", "d3", DoubleRiser("7/8", "1-5/8", 0.55)))
    select(sheet.session, "dis", "d3")
    menu = menu_of(sheet)
    pairs = entry(menu, "Double riser 7/8 and 1-5/8").menu()
    assert isinstance(pairs, QMenu)
    assert [action.text() for action in pairs.actions() if action.isChecked()] == ["7/8 and 1-5/8"]
    entry(menu, "Double riser", "1-1/8 and 1-3/8").trigger()
    riser = leg_named(sheet, "d3").double_riser
    assert riser == DoubleRiser("1-1/8", "1-3/8", 0.55)


def test_other_sizes_and_the_seal_are_typed_on_the_drawing(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    entry(menu_of(sheet), "Double riser", "Other sizes").trigger()
    field = sheet.riser_editor
    assert not field.isHidden()
    assert field.hasFocus()
    assert field.text().endswith(", 300 mm")
    assert field.accessibleName() == "Double riser of d3"
    QTest.keyClicks(field, "3/4 + 1-1/8, 16 in")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.isHidden()
    assert leg_named(sheet, "d3").double_riser == DoubleRiser("3/4", "1-1/8", pytest.approx(0.4064))
    assert sheet.session.document.undo_label == "make d3 a double riser of 3/4 and 1-1/8"
    sheet.session.use_units("ip")
    entry(menu_of(sheet), "Double riser", "Other sizes").trigger()
    assert field.text() == "3/4 + 1-1/8, 16 in"
    QTest.keyClicks(field, "1-3/8")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert (leg_named(sheet, "d3").double_riser, leg_named(sheet, "d3").size) == (None, "1-3/8")


def test_a_bad_pair_is_marked_where_it_stands_and_escape_changes_nothing(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    before = sheet.session.job
    select(sheet.session, "dis", "d3")
    entry(menu_of(sheet), "Double riser", "Other sizes").trigger()
    field = sheet.riser_editor
    for typed, why in (("3/4 +", "two sizes with a plus"), ("3/4 + 9", '"9" is not a size'), ("3/4 + 7/8, 40 m", "40")):
        field.selectAll()
        QTest.keyClicks(field, typed)
        QTest.keyClick(field, Qt.Key.Key_Return)
        assert why in field.toolTip()
        assert why in sheet.typed_line.words
        assert not field.isHidden()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.isHidden()
    assert sheet.session.job is before


def test_a_step_of_size_does_not_make_a_double_riser_single(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.do(SetDoubleRiser(C, "dis", "d3", DoubleRiser("7/8", "1-5/8", 0.55)))
    before = sheet.session.job
    select(sheet.session, "dis", "d3")
    sheet.setFocus()
    QTest.keyClick(sheet, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
    assert sheet.session.job is before
    assert "d3 is a double riser" in sheet.typed_line.words


def leg_named(sheet: Sheet, name: str) -> Leg:
    return next(leg for leg in line_of(sheet.session, "dis").legs if leg.id == name)


def test_a_pair_of_risers_has_the_area_of_the_one_tube() -> None:
    catalogue = tube_catalogue("ASTM-B280-drawn")
    for now in catalogue.size_names[1:]:
        pairs = riser_pairs("ASTM-B280-drawn", now)
        assert pairs
        for small, large in pairs:
            bores = [catalogue.find(each).inside_diameter_m for each in (small, large, now)]
            assert bores[0] ** 2 + bores[1] ** 2 >= bores[2] ** 2 * (1.0 - 1e-9)
            assert bores[0] <= bores[1] <= bores[2]


def test_a_node_takes_a_fitting_and_an_end_a_tie(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n2"))
    entry(menu_of(sheet), "Fitting at n2", "Trap").trigger()
    assert ("n2", "trap") in [(each.node, each.kind) for each in line_of(sheet.session, "dis").fittings]
    undone(sheet)
    assert not [each for each in menu_of(sheet).actions() if each.text().startswith("Tie")]
    sheet.session.select(Selection(C, "dis", node="n5"))
    menu = menu_of(sheet)
    ties = entry(menu, "Tie n5 to").menu()
    assert isinstance(ties, QMenu)
    assert [action.text() for action in ties.actions() if action.isChecked()] == ["Loft condenser, inlet"]
    entry(menu, "Tie n5 to", "Indoor unit, discharge").trigger()
    assert line_of(sheet.session, "dis").ends[-1] == LineEnd("n5", "unit", "discharge")
    undone(sheet)
    entry(menu, "Tie n5 to", "Nothing").trigger()
    assert [end.node for end in line_of(sheet.session, "dis").ends] == ["n1"]


def test_drawing_begins_from_the_menu(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    entry(menu_of(sheet), "Draw on from d2").trigger()
    assert isinstance(sheet.hand.gesture, DrawByMouse)
    QTest.mouseClick(sheet, LEFT, pos=node_pos(sheet, "n3") + QPoint(35, -20))
    assert len(line_of(sheet.session, "dis").legs) == 5


def test_the_menu_opens_for_what_lies_under_the_pointer(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    at = leg_pos(sheet, "d2", share=0.3)
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, sheet.mapToGlobal(at))
    QApplication.sendEvent(sheet, event)
    assert sheet.session.selection == Selection(C, "dis", "d2")
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, ContextMenu)
    entry(menu, "Split d2").trigger()
    menu.close()
    assert geometry_of(sheet, "d2").length_m == pytest.approx(0.3 * 6.0, abs=0.02)


def test_the_right_button_ends_drawing_instead(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, "dis", node="n3"))
    entry(menu_of(sheet), "Draw on from d2").trigger()
    at = leg_pos(sheet, "d2", share=0.3)
    QApplication.sendEvent(sheet, QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, sheet.mapToGlobal(at)))
    assert not sheet.hand.busy
    assert QApplication.activePopupWidget() is None


def test_menus_do_not_pile_up(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d3")
    for _ in range(3):
        menu = menu_of(sheet)
        menu.popup(sheet.mapToGlobal(QPoint(20, 20)))
        menu.close()
    qtbot.waitUntil(lambda: not sheet.findChildren(ContextMenu))


def test_both_lines_are_run_to_another_condenser_in_one_step(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    sheet.session.select(Selection(C, equipment="cond"))
    assert not [each for each in menu_of(sheet).actions() if each.text().startswith("Run")]
    entry(menu_of(sheet), "Add another like Loft condenser").trigger()
    sheet.session.select(Selection(C, equipment="cond2"))
    entry(menu_of(sheet), "Run both lines to Loft condenser 2").trigger()
    assert [end.equipment for end in line_of(sheet.session, "dis").ends] == ["unit", "cond", "cond2"]
    assert line_of(sheet.session, "liq").ends[-1] == LineEnd("m7", "cond2", "outlet")
    assert sheet.session.document.undo_label == "run the lines to cond2"
    assert not [each for each in menu_of(sheet).actions() if each.text().startswith("Run")]
    sheet.session.select(Selection(C, "dis", "d6"))
    entry(menu_of(sheet), "Delete the branch of d6").trigger()
    assert [leg.id for leg in line_of(sheet.session, "dis").legs] == ["d1", "d2", "d3", "d4"]
    sheet.session.select(Selection(C, equipment="cond2"))
    entry(menu_of(sheet), "Run the discharge line to Loft condenser 2").trigger()
    assert len(line_of(sheet.session, "dis").legs) == 6
    assert len(line_of(sheet.session, "liq").legs) == 6


def test_a_branch_begins_on_a_leg_where_the_menu_was_opened(qtbot: QtBot) -> None:
    sheet = sheet_over(qtbot)
    select(sheet.session, "dis", "d2")
    at = sheet._pointer(*leg_pos(sheet, "d2", share=0.25).toTuple(), Qt.KeyboardModifier.NoModifier)
    assert not [each for each in menu_of(sheet).actions() if each.text().startswith("Delete the branch")]
    entry(sheet.context_menu(at), "Branch off from d2 here").trigger()
    assert isinstance(sheet.hand.gesture, DrawByMouse)
    assert sheet.hand.gesture.start.at_m == pytest.approx((1.5, 0.0, 3.4), abs=0.051)
