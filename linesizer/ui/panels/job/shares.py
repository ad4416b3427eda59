"""Shares of the flow of parallel condensers: together they make one, so that stating one states all."""

from __future__ import annotations

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role


def condensers(circuit: Circuit) -> tuple[Equipment, ...]:
    """Return the condensers of a circuit."""
    return tuple(item for item in circuit.equipment if item.role is Role.CONDENSER)


def shares_with(circuit: Circuit, name: str, share: float | None) -> tuple[tuple[str, float | None], ...]:
    """Return every condenser's share once one of them is stated; the others keep their proportions, or share alike.

    None for one leaves all of them to the pressures.
    """
    stated = condensers(circuit)
    if share is None:
        return tuple((item.id, None) for item in stated)
    others = [item for item in stated if item.id != name]
    known = [item.share for item in others if item.share is not None]
    total = sum(known) if len(known) == len(others) else 0.0

    def other(item: Equipment) -> float:
        part = item.share / total if total > 0.0 and item.share is not None else 1.0 / len(others)
        return (1.0 - share) * part

    return tuple((item.id, share if item.id == name else other(item)) for item in stated)
