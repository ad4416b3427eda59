"""What is done with circuits as a whole: show another, add, duplicate, delete; one place for panel, menu and keys."""

from __future__ import annotations

from linesizer.document.commands.circuit import DeleteCircuit, DuplicateCircuit
from linesizer.ui.fields.commit import commit_pending
from linesizer.ui.selection import Selection
from linesizer.ui.session import Session


def add_circuit(session: Session, *, lines: bool) -> None:
    """Add a circuit like the shown one and show it; without ``lines`` these wait to be drawn."""
    shown = session.shown_circuit
    if shown is None or not commit_pending():
        return
    before = {circuit.id for circuit in session.job.circuits}
    if session.try_do(DuplicateCircuit(shown.id, lines)):
        session.select(Selection(next(item.id for item in session.job.circuits if item.id not in before)))


def delete_circuit(session: Session) -> None:
    """Take the shown circuit away and show its neighbour."""
    shown = session.shown_circuit
    if shown is None:
        return
    circuits = session.job.circuits
    place = next(index for index, circuit in enumerate(circuits) if circuit.id == shown.id)
    if session.try_do(DeleteCircuit(shown.id)):
        left = session.job.circuits
        session.select(Selection(left[min(place, len(left) - 1)].id))


def show_circuit(session: Session, by: int) -> bool:
    """Show the circuit so many behind the shown one; what is half entered here is taken first."""
    return commit_pending() and session.show_next_circuit(by)
