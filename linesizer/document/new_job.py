"""A new job, and what is still missing before it can be sized.

A new job is empty: it has no circuit.  The alternative, a circuit with likely values already in it, would be sound at
once, but nobody could tell later which of its numbers a person has ever looked at; a condensing temperature that nobody
stated must not size a line.  So the window asks for three things, and ``StartCircuit`` makes a sound circuit of the
answers in one undoable step.  An empty job can be titled and undone; it cannot be saved, for a job file has a circuit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from linesizer.document.commands.circuit import StartCircuit
from linesizer.domain.blend import Blend
from linesizer.domain.job import Job
from linesizer.domain.route import Point
from linesizer.errors import UserError


class Needed(StrEnum):
    """The three things that a new job waits for."""

    REFRIGERANT = "refrigerant"
    DUTY = "duty"
    PLACES = "places"

    @property
    def question(self) -> str:
        """What the window asks."""
        return _QUESTIONS[self]


_QUESTIONS = {
    Needed.REFRIGERANT: "Which refrigerant?",
    Needed.DUTY: "What does the unit do: cooling, evaporating and condensing temperature, superheat, subcooling?",
    Needed.PLACES: "Where do the unit and the condenser stand: east, north and up?",
}


@dataclass(frozen=True, slots=True)
class Answers:
    """What a person has filled in so far; None is still open."""

    refrigerant: str | None = None
    capacity_W: float | None = None
    evaporating_C: float | None = None
    condensing_C: float | None = None
    superheat_K: float | None = None
    subcooling_K: float | None = None
    unit_at_m: Point | None = None
    condenser_at_m: Point | None = None
    blend: Blend | None = None
    """What the refrigerant is made of where it is a blend of the person's own."""

    @property
    def missing(self) -> tuple[Needed, ...]:
        """What is not filled in yet, in the order of asking."""
        duty = (self.capacity_W, self.evaporating_C, self.condensing_C, self.superheat_K, self.subcooling_K)
        return tuple(
            need
            for need, answers in (
                (Needed.REFRIGERANT, (self.refrigerant,)),
                (Needed.DUTY, duty),
                (Needed.PLACES, (self.unit_at_m, self.condenser_at_m)),
            )
            if None in answers
        )


def new_job() -> Job:
    """Return the empty job."""
    return Job(())


def start(answers: Answers) -> StartCircuit:
    """Return the command that begins the circuit.

    Raises
    ------
    UserError
        NEW-01 where an answer is missing; says which.
    """
    a = answers
    if (
        a.refrigerant is None
        or a.capacity_W is None
        or a.evaporating_C is None
        or a.condensing_C is None
        or a.superheat_K is None
        or a.subcooling_K is None
        or a.unit_at_m is None
        or a.condenser_at_m is None
    ):
        raise UserError(
            "NEW-01",
            what="The circuit cannot begin yet.",
            why=" ".join(need.question for need in a.missing),
            remedy="Fill in what is missing.",
        )
    return StartCircuit(
        a.refrigerant,
        a.capacity_W,
        a.evaporating_C,
        a.condensing_C,
        a.superheat_K,
        a.subcooling_K,
        a.unit_at_m,
        a.condenser_at_m,
        blend=a.blend,
    )
