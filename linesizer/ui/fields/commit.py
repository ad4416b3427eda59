"""What a field does with a value that a person has entered, and how a window brings what is half entered to its end."""

from __future__ import annotations

import weakref
from functools import partial
from types import MethodType
from typing import Any, Protocol, runtime_checkable

from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication

from linesizer.errors import UserError

LEAVING = (
    QKeySequence.StandardKey.Save,
    QKeySequence.StandardKey.SaveAs,
    QKeySequence.StandardKey.New,
    QKeySequence.StandardKey.Open,
    QKeySequence.StandardKey.Close,
    QKeySequence.StandardKey.Quit,
    QKeySequence.StandardKey.Print,
)
"""What a person does with the job as a whole; what stands half entered in a field is meant to be part of it."""


class Commit(Protocol):
    """Carries out an entered value: in the job, as a rule, as one command.

    ``merge`` lets it take the place of the last step: the next notch of an arrow key.  ``UserError`` where it cannot
    be; the field then keeps the entry and says why.
    """

    def __call__(self, value: Any, merge: bool, /) -> object:
        """Carry the value out."""
        ...


class _Weakly:
    """Calls a method without keeping its object alive."""

    __slots__ = ("_before", "_method")

    def __init__(self, method: MethodType, before: tuple[Any, ...]) -> None:
        self._method = weakref.WeakMethod(method)
        self._before = before

    def __call__(self, value: Any, merge: bool, /) -> object:
        method = self._method()
        return method(*self._before, value, merge) if method is not None else None


def weakly(commit: Commit) -> Commit:
    """Return a commit that does not keep a panel alive by its own fields.

    A panel that its fields refer to can only be freed by the garbage collector, and a collection that takes a whole
    tree of live widgets apart ends in a crash; without such a ring the tree goes when its last owner lets go.
    """
    if isinstance(commit, MethodType):
        return _Weakly(commit, ())
    if isinstance(commit, partial) and isinstance(commit.func, MethodType) and not commit.keywords:
        return _Weakly(commit.func, commit.args)
    return commit


@runtime_checkable
class Pending(Protocol):
    """A field in which something may stand half entered."""

    def commit_edit(self) -> bool:
        """Commit it; False where it was refused."""
        ...


def commit_pending() -> bool:
    """Commit what stands half entered in the focused field; False where it was refused.

    For a window about to save, to close or to open another job by other ways than the keyboard, for which the field
    itself cares.
    """
    field = QApplication.focusWidget()
    return field.commit_edit() if isinstance(field, Pending) else True


def leaves(event: QKeyEvent) -> bool:
    """Tell whether a key means the job as a whole."""
    return any(event.matches(key) for key in LEAVING)


def short_reason(error: UserError) -> str:
    """Return an error in the few words that stand beneath a field: why, without what the person knows already."""
    return error.why
