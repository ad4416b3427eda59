"""What the sheet says while there is little on it: the next step, in a sentence."""

from __future__ import annotations

from linesizer.domain.route import Service
from linesizer.ui.gestures.starts import chosen_start, from_equipment, missing_services
from linesizer.ui.session import Session
from linesizer.units import System

_EXAMPLE: dict[System, tuple[str, str]] = {"si": ("U 2.2", "E 6.4 m"), "ip": ("U 7'3\"", "E 21 ft")}
_KEYS = {Service.DISCHARGE: "D", Service.LIQUID: "L"}


def lesson(session: Session) -> tuple[str, str]:
    """Return a heading and a sentence for a sheet without a drawing; both empty where there is one."""
    job = session.shown_job
    if not job.circuits:
        return (
            "Nothing to draw yet",
            "Say what the unit does in the Job panel: the refrigerant, the duty, where the unit and the condenser "
            "stand.  Then the lines are drawn here.",
        )
    circuit = session.shown_circuit
    if circuit is None or _anything_drawn(session):
        return ("", "")
    missing = [service for service in missing_services(circuit) if from_equipment(circuit, service) is not None]
    if not missing:
        return (
            "No place to draw from",
            "Add a unit and a condenser to the equipment in the Job panel; a line begins at one of them.",
        )
    service = missing[0]
    start = from_equipment(circuit, service)
    where = start.words if start is not None else "the unit"
    first, second = _EXAMPLE[session.units]
    return (
        f"Draw the {service.value} line",
        f"Press {_KEYS[service]}, or click the ring at {where}.  Then give a direction and a length: type {first}, "
        f"Enter, {second}, Enter; or point and click.",
    )


def _anything_drawn(session: Session) -> bool:
    """Tell whether the sheet has a line of any circuit, over which a lesson would lie."""
    return any(line.legs for circuit in session.shown_job.circuits for line in circuit.lines)


def hint(session: Session) -> str:
    """Return the quiet line at the foot: how drawing goes on from what is selected; empty for nothing to draw from."""
    circuit = session.shown_circuit
    if circuit is None:
        return ""
    drawn = _anything_drawn(session)
    chosen = session.selection
    if drawn and chosen.line is None:
        for service in missing_services(circuit):
            start = from_equipment(circuit, service)
            if start is not None:
                return f"press {_KEYS[service]} to draw the {service.value} line from {start.words}"
    if chosen.leg is not None and chosen.part is None:
        draw = _EXAMPLE[session.units][0]
        return f"Enter: length   Ctrl ↑ ↓: size   Alt ← ↑ → ↓: move   Del: delete   {draw}: draw on"
    if chosen.line is None or chosen.part is not None:
        return ""
    start = chosen_start(session)
    if start is None:
        return ""
    return f"type {_EXAMPLE[session.units][0]} to draw from {start.words}{', a branch' if start.branches else ''}"
