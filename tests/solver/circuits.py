"""One circuit, its two lines and its equipment, for the tests that solve it whole; all data invented."""

from __future__ import annotations

from typing import Any

from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import Line, Service
from linesizer.evaluate import solve
from tests.solver.routes import ORIGIN, chain, job

UP = [ORIGIN, (0.0, 0.0, 6.0), (8.0, 0.0, 6.0)]
DOWN = [(8.0, 1.0, 6.0), (8.0, 1.0, 1.0), (1.0, 1.0, 1.0)]


def circuit(*lines: Line, **changes: Any) -> CircuitResult:
    return solve(job(*lines, **changes)).circuits[0]


def gas(**changes: Any) -> Line:
    return chain(UP, Service.DISCHARGE, **changes)


def liquid(**changes: Any) -> Line:
    return chain(DOWN, Service.LIQUID, **({"size": "7/8"} | changes))


def condenser(**changes: Any) -> Equipment:
    return Equipment("cond", Role.CONDENSER, **changes)


def receiver(**changes: Any) -> Equipment:
    return Equipment("rec", Role.RECEIVER, **({"kind": ReceiverKind.THROUGH} | changes))
