"""Shares of the flow of parallel condensers: where all are stated, together they make one."""

from __future__ import annotations

from dataclasses import replace

from linesizer.domain.circuit import Circuit
from linesizer.domain.equipment import Equipment, Role


def shares_without(circuit: Circuit, gone: Equipment) -> tuple[Equipment, ...]:
    """Return a circuit's equipment without one piece, the shares of the other condensers whole again."""
    rest = tuple(item for item in circuit.equipment if item is not gone)
    condensers = [item for item in rest if item.role is Role.CONDENSER]
    shares = [item.share for item in condensers]
    if gone.role is not Role.CONDENSER or not shares or None in shares:
        return rest
    whole = sum(share for share in shares if share is not None)
    if len(shares) == 1 or whole <= 0.0:
        return tuple(replace(item, share=None) if item in condensers else item for item in rest)
    return tuple(
        replace(item, share=item.share / whole) if item.share is not None and item in condensers else item
        for item in rest
    )
