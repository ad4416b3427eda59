"""The window: the sheet in the middle, panels docked around it, menus, the line across the top."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QSettings, Qt
from PySide6.QtGui import QAction, QCloseEvent, QDragEnterEvent, QDropEvent, QKeySequence
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QMainWindow,
    QMenu,
    QMenuBar,
    QTabBar,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from linesizer.errors import UserError
from linesizer.ui.actions import Act, add_act
from linesizer.ui.circuit_acts import add_circuit, delete_circuit, show_circuit
from linesizer.ui.dialogs.about import show_about
from linesizer.ui.dialogs.questions import Questions
from linesizer.ui.dock import PanelDock
from linesizer.ui.file_acts import FileActs
from linesizer.ui.header import Header
from linesizer.ui.help import show_help
from linesizer.ui.panels.charge_panel import ChargePanel
from linesizer.ui.panels.findings_panel import FindingsPanel
from linesizer.ui.panels.job.memory import PanelMemory
from linesizer.ui.panels.job_panel import JobPanel
from linesizer.ui.panels.legs_panel import LegsPanel
from linesizer.ui.panels.oil_return_panel import OilReturnPanel
from linesizer.ui.panels.panel import Panel
from linesizer.ui.panels.profile_panel import ProfilePanel
from linesizer.ui.panels.sizes_panel import SizesPanel
from linesizer.ui.session import Session
from linesizer.ui.sheet.sheet import Sheet

LAYOUT_VERSION = 1
"""Counted up when the docks change so much that a remembered layout no longer fits."""

CALCULATING = "Calculating…"

LEFT, RIGHT, BOTTOM = (
    Qt.DockWidgetArea.LeftDockWidgetArea,
    Qt.DockWidgetArea.RightDockWidgetArea,
    Qt.DockWidgetArea.BottomDockWidgetArea,
)


class MainWindow(QMainWindow):
    """One window with one open job."""

    def __init__(self, session: Session, folder: Path, settings: QSettings) -> None:
        super().__init__()
        self.session = session
        self._settings = settings
        self._left = False
        self.files = FileActs(session, Questions(self), folder, self)
        self.files.said.connect(self._say)
        session.refused.connect(self._refused)
        session.changed.connect(self._name_window)
        session.shown.connect(self._name_window)
        session.busy.connect(self._busy)
        self.setAcceptDrops(True)
        self.setDockNestingEnabled(True)
        self.setTabPosition(Qt.DockWidgetArea.AllDockWidgetAreas, QTabWidget.TabPosition.North)
        self.setCorner(Qt.Corner.BottomLeftCorner, LEFT)
        self.setCorner(Qt.Corner.BottomRightCorner, RIGHT)
        self.sheet = Sheet(session)
        middle = QWidget()
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.sheet, 1)
        self.setCentralWidget(middle)
        self._header = Header(session)
        self._bar = QMenuBar()
        self.setMenuWidget(self._top())
        self.docks = self._make_docks()
        self._make_menus()
        self._status = QLabel()
        self.statusBar().addWidget(self._status, 1)
        self.statusBar().setSizeGripEnabled(False)
        self.resize(1600, 1000)
        self._first_layout = self.saveState(LAYOUT_VERSION)
        self._restore_layout()
        self._name_window()

    @property
    def waiting(self) -> bool:
        """Whether a panel that can be seen waits for something that another thread works out."""
        panels = (dock.panel for dock in self.docks.values())
        return any(isinstance(panel, Panel) and panel.isVisible() and panel.waiting for panel in panels)

    # What happens to the window

    def closeEvent(self, event: QCloseEvent) -> None:
        """Leave only when the person lets it, and remember where everything stood."""
        if self._left:
            return
        if not self.files.may_leave():
            event.ignore()
            return
        self._settings.setValue("layout/state", self.saveState(LAYOUT_VERSION))
        self._settings.setValue("layout/geometry", self.saveGeometry())
        self._settings.setValue("units", self.session.units)
        self._settings.setValue("look", self.session.theme.choice or "")
        self._settings.sync()
        self.files.close()
        self.session.close()
        self._left = True
        event.accept()

    def event(self, event: QEvent) -> bool:
        """Name the tabs, which Qt makes and unmakes as panels are moved."""
        if event.type() is QEvent.Type.LayoutRequest:
            for tabs in self.findChildren(QTabBar, options=Qt.FindChildOption.FindDirectChildrenOnly):
                if not tabs.accessibleName():
                    tabs.setAccessibleName("Panels that share a place")
        return super().event(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take one dragged file."""
        urls = event.mimeData().urls()
        if len(urls) == 1 and urls[0].isLocalFile():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open a dropped file."""
        event.acceptProposedAction()
        self.files.open(Path(event.mimeData().urls()[0].toLocalFile()))

    # How it is made

    def _top(self) -> QWidget:
        top = QWidget()
        column = QVBoxLayout(top)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._bar)
        column.addWidget(self._header)
        return top

    def _make_docks(self) -> dict[str, PanelDock]:
        session = self.session
        job = JobPanel(session, memory=PanelMemory(self._settings))
        job.sample_wanted.connect(self.files.open_sample)
        self._job_panel = job
        panels = (
            ("job", job, LEFT),
            ("sizes", SizesPanel(session), RIGHT),
            ("findings", FindingsPanel(session), RIGHT),
            ("profile", ProfilePanel(session), BOTTOM),
            ("oil-return", OilReturnPanel(session), BOTTOM),
            ("charge", ChargePanel(session), BOTTOM),
            ("legs", LegsPanel(session), BOTTOM),
        )
        docks = {}
        for name, panel, area in panels:
            dock = PanelDock(session.theme, panel, name, panel.title, self)
            docks[name] = dock
            self.addDockWidget(area, dock)
        for name in ("oil-return", "charge", "legs"):
            self.tabifyDockWidget(docks["profile"], docks[name])
        docks["profile"].raise_()
        self.resizeDocks([docks["job"], docks["sizes"]], [300, 460], Qt.Orientation.Horizontal)
        self.resizeDocks([docks["profile"]], [340], Qt.Orientation.Vertical)
        self.resizeDocks([docks["sizes"], docks["findings"]], [540, 370], Qt.Orientation.Vertical)
        return docks

    def _make_menus(self) -> None:
        keys = QKeySequence.StandardKey
        files, document = self.files, self.session.document
        menu = self._menu("&Job")
        for act in (
            Act("new", "&New", files.new, (keys.New,), "Begin an empty job"),
            Act("open", "&Open…", self._open, (keys.Open,), "Open a job file"),
        ):
            add_act(menu, self, act)
        self._recent = menu.addMenu("Open &recent")
        self._recent.aboutToShow.connect(self._fill_recent)
        self._recent.triggered.connect(self._open_recent)
        add_act(menu, self, Act("sample", "Open a s&ample", files.open_sample, tip="Look at a job that works"))
        menu.addSeparator()
        add_act(menu, self, Act("save", "&Save", files.save, (keys.Save,), "Save the job in its file"))
        add_act(
            menu, self, Act("save-as", "Save &as…", files.save_as, (keys.SaveAs,), "Save the job under another name")
        )
        menu.addSeparator()
        add_act(
            menu, self, Act("quit", "&Quit", self.close, ("Ctrl+Q", keys.Quit), "Leave; unsaved work is asked about")
        )

        menu = self._menu("&Edit")
        self._undo = add_act(menu, self, Act("undo", "&Undo", document.undo, (keys.Undo,)))
        self._redo = add_act(menu, self, Act("redo", "&Redo", document.redo, ("Ctrl+Shift+Z", keys.Redo, "Ctrl+Y")))

        self._menu_of_circuits()
        self._menu_of_views()

        menu = self._menu("&Help")
        add_act(
            menu, self, Act("help", "&Manual page", self._help, (keys.HelpContents,), "The page of the panel in use")
        )
        add_act(menu, self, Act("about", "&About linesizer", self._about, tip="Version, licences, cautions"))

    def _menu_of_circuits(self) -> None:
        session = self.session
        menu = self._menu("&Circuit")
        several = (
            Act("next-circuit", "&Next circuit", partial(show_circuit, session, 1), ("Ctrl+PgDown",)),
            Act("previous-circuit", "&Previous circuit", partial(show_circuit, session, -1), ("Ctrl+PgUp",)),
            Act("delete-circuit", "De&lete circuit", partial(delete_circuit, session), tip="Take the circuit away"),
        )
        one = (
            Act(
                "duplicate-circuit",
                "&Duplicate circuit",
                partial(add_circuit, session, lines=True),
                tip="Add a circuit like the shown one, lines and all, beside it",
            ),
            Act(
                "add-circuit",
                "&Add circuit",
                partial(add_circuit, session, lines=False),
                tip="Add a circuit like the shown one, whose lines wait to be drawn",
            ),
            Act("rename-circuit", "&Rename circuit", self._rename_circuit, tip="Go to the circuit's name in the panel"),
        )
        self._for_several = [add_act(menu, self, act) for act in several[:2]]
        menu.addSeparator()
        self._for_one = [add_act(menu, self, act) for act in one]
        self._for_several.append(add_act(menu, self, several[2]))

    def _menu(self, words: str) -> QMenu:
        return self._bar.addMenu(words)

    def _menu_of_views(self) -> None:
        menu = self._menu("&View")
        go = menu.addMenu("&Go to")
        add_act(go, self, Act("go-sheet", "S&heet", self._go_to_sheet, ("Alt+0",), "Bring the keyboard to the sheet"))
        for index, (name, dock) in enumerate(self.docks.items(), start=1):
            tip = f"Bring the keyboard to the panel {dock.windowTitle()}, shown if it was hidden"
            add_act(go, self, Act(f"go-{name}", f"&{index}  {dock.windowTitle()}", dock.go_to, (f"Alt+{index}",), tip))
        menu.addSeparator()
        for name, dock in self.docks.items():
            toggle = dock.toggleViewAction()
            toggle.setObjectName(f"view-{name}")
            toggle.setStatusTip(f"Show or hide the panel {dock.windowTitle()}")
            menu.addAction(toggle)
        add_act(menu, self, Act("layout", "Panels as at &first", self._reset_layout, tip="Put every panel back"))
        menu.addSeparator()
        switch = Act("units", "Other &units", self._other_units, ("Ctrl+I",), "Change between SI and inch-pound")
        add_act(menu, self, switch)
        looks = menu.addMenu("&Look")
        for choice, words in ((None, "As the &desktop"), ("light", "&Light"), ("dark", "Da&rk")):
            action = QAction(words, self)
            action.setCheckable(True)
            action.setData(choice or "")
            looks.addAction(action)
        looks.triggered.connect(self._look)
        looks.aboutToShow.connect(self._tick_look)
        self._looks = looks

    # What the menus do

    def _open(self) -> None:
        self.files.open()

    def _fill_recent(self) -> None:
        self._recent.clear()
        for path in self.files.recent.shown():
            action = self._recent.addAction(f"{path.name}   {path.parent}")
            action.setData(str(path))
        if self._recent.isEmpty():
            self._recent.addAction("None yet").setEnabled(False)

    def _open_recent(self, action: QAction) -> None:
        if action.data():
            self.files.open(Path(action.data()))

    def _go_to_sheet(self) -> None:
        self.sheet.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _other_units(self) -> None:
        self.session.use_units("ip" if self.session.units == "si" else "si")

    def _look(self, action: QAction) -> None:
        self.session.theme.choose(action.data() or None)

    def _tick_look(self) -> None:
        for action in self._looks.actions():
            action.setChecked((action.data() or None) == self.session.theme.choice)

    def _rename_circuit(self) -> None:
        self.docks["job"].go_to()
        self._job_panel.name_circuit()

    def _help(self) -> None:
        widget = QApplication.focusWidget()
        while widget is not None and not hasattr(widget, "help_page"):
            widget = widget.parentWidget()
        show_help(self, getattr(widget, "help_page", "window"))

    def _about(self) -> None:
        show_about(self)

    # What it remembers and says

    def _restore_layout(self) -> None:
        geometry, state = self._settings.value("layout/geometry"), self._settings.value("layout/state")
        if isinstance(geometry, QByteArray):
            self.restoreGeometry(geometry)
        if isinstance(state, QByteArray):
            self.restoreState(state, LAYOUT_VERSION)

    def _reset_layout(self) -> None:
        self.restoreState(self._first_layout, LAYOUT_VERSION)

    def _name_window(self) -> None:
        document = self.session.document
        title = self.session.shown_job.info.title or "Untitled job"
        self.setWindowTitle(f"{title}[*] — remote condenser lines")
        self.setWindowModified(document.modified)
        self.setWindowFilePath(str(document.path) if document.path is not None else "")
        count = len(self.session.shown_job.circuits)
        for action in self._for_one:
            action.setEnabled(count > 0)
        for action in self._for_several:
            action.setEnabled(count > 1)
        undo, redo = document.undo_label, document.redo_label
        self._undo.setText(f"&Undo {undo}" if undo else "&Undo")
        self._undo.setEnabled(undo is not None)
        self._redo.setText(f"&Redo {redo}" if redo else "&Redo")
        self._redo.setEnabled(redo is not None)

    def _say(self, text: str) -> None:
        self._status.setText(text)

    def _refused(self, error: UserError) -> None:
        self._say(f"{error.what} {error.why} {error.remedy}")

    def _busy(self, working: bool) -> None:
        if working or self._status.text() == CALCULATING:
            self._say(CALCULATING if working else "")
