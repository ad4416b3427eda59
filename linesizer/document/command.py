"""What a command is, and when two of them are one act."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from linesizer.domain.job import Job

_KEYS = ("circuit", "line", "leg", "legs", "node", "axis", "part", "condition", "equipment", "room", "rule")
"""The fields by which commands name the object that they change."""


@runtime_checkable
class Command(Protocol):
    """One act of a person: a frozen value that makes a new job from an old one.

    ``label`` completes "Undo ..." and "Cannot ...": ``change length of d3``.  ``apply`` shares with the old job
    whatever did not change and raises ``UserError`` where the act makes no sense; whether the new job is sound as a
    whole is checked once, for all commands, in ``soundness``.
    """

    @property
    def label(self) -> str:
        """The act in a few words, beginning with a verb."""
        ...

    def apply(self, job: Job) -> Job:
        """Return the job after the act."""
        ...


def same_act(before: Command, after: Command) -> bool:
    """Tell whether two commands do the same thing to the same object, so that the later may stand for both."""
    return type(before) is type(after) and _target(before) == _target(after)


def _target(command: Command) -> tuple[object, ...]:
    named = tuple(getattr(command, key, None) for key in _KEYS)
    changes: tuple[tuple[str, object], ...] = getattr(command, "changes", ())
    return (*named, *(name for name, _ in changes))
