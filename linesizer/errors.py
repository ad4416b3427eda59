"""Errors that a person can act on.

A ``UserError`` names the person's own object, the value found, the limit and the next step.  Everything that a
person can cause ends in one of these; anything else that escapes is a defect of the program.
"""

from __future__ import annotations

from dataclasses import dataclass


class UserError(Exception):
    """Something that the person can put right.

    Parameters
    ----------
    code : str
        Short stable word for tests and for the manual, for example ``"ROUTE-02"``.
    what : str
        What cannot be done, naming the person's own object.
    why : str
        The value found and the limit.
    remedy : str
        The next step.
    """

    def __init__(self, code: str, *, what: str, why: str, remedy: str) -> None:
        super().__init__(f"{what} {why} {remedy}")
        self.code = code
        self.what = what
        self.why = why
        self.remedy = remedy

    def __str__(self) -> str:
        return f"{self.what}\n  {self.why}\n  {self.remedy}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in a job file.

    ``path`` is the JSON path (``circuits[0].lines[1].legs[3].to``), ``found`` says what stands there and ``allowed``
    what may.
    """

    path: str
    found: str
    allowed: str

    def __str__(self) -> str:
        return f"{self.path}: {self.found}; {self.allowed}"


class JobFileError(UserError):
    """A job file that cannot be used: everything wrong with it, in one error."""

    def __init__(self, code: str, *, name: str, problems: tuple[Problem, ...], remedy: str) -> None:
        count = len(problems)
        self.problems = problems
        super().__init__(
            code,
            what=f"{name} cannot be used: {count} thing{'s' if count != 1 else ''} to put right.",
            why="\n  ".join(str(problem) for problem in problems),
            remedy=remedy,
        )
