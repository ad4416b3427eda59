"""What the document tells its listeners."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.document.command import Command
from linesizer.domain.job import Job


class ChangeKind(StrEnum):
    """What happened to the document."""

    DONE = "done"
    MERGED = "merged"
    """A command took the place of the last step."""
    UNDONE = "undone"
    REDONE = "redone"
    NEW = "new"
    OPENED = "opened"
    SAVED = "saved"
    """The job is the same; its path and the modified mark may not be."""


@dataclass(frozen=True, slots=True)
class Change:
    """The job before and after, and the command that led from one to the other, if one did.

    For ``UNDONE`` the command is the one that was taken back.
    """

    before: Job
    after: Job
    command: Command | None
    kind: ChangeKind
