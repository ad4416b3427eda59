"""The window's acts with their words, shortcuts and places in the menus."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu


@dataclass(frozen=True, slots=True)
class Act:
    """One entry of a menu; ``keys`` are standard sequences, with all that a desktop has for them, or texts."""

    name: str
    words: str
    run: Callable[[], object]
    keys: tuple[QKeySequence.StandardKey | str, ...] = ()
    tip: str = ""
    checkable: bool = False


def add_act(menu: QMenu, window: QMainWindow, act: Act) -> QAction:
    """Put an act into a menu and let its shortcut work in the whole window."""
    action = QAction(act.words, window)
    action.setObjectName(act.name)
    action.setShortcuts(list(dict.fromkeys(found for key in act.keys for found in sequences(key))))
    tip = act.tip or act.words.replace("&", "").rstrip("…")
    action.setToolTip(tip)
    action.setStatusTip(tip)
    action.setCheckable(act.checkable)
    action.triggered.connect(act.run)
    menu.addAction(action)
    return action


def sequences(key: QKeySequence.StandardKey | str) -> list[QKeySequence]:
    """Return the keys that a desktop has for something, or those that a text names."""
    return [QKeySequence(key)] if isinstance(key, str) else QKeySequence.keyBindings(key)
