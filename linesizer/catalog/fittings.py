"""Fittings at the nodes of a route: what each is made of and the published constants of its loss."""

from __future__ import annotations

import json
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import Any, Literal

from linesizer.domain.resources import resource
from linesizer.errors import UserError


class LossMethod(StrEnum):
    """Which correlation gives the loss of a fitting."""

    THREE_K = "three_k"
    TWO_K = "two_k"


@dataclass(frozen=True, slots=True)
class LossCoefficients:
    """Constants of one fitting; both methods share one form, the bore D in inches.

    .. math:: K = k_1 / Re + k_i (1 + k_d / D^n)

    Darby's 3-K has n = 0.3; Hooper's 2-K has k_d = 1 and n = 1.  ``published_row`` is the row's name in ``source``.
    """

    row: str
    label: str
    method: LossMethod
    k1: float
    ki: float
    kd: float
    bore_exponent: float
    published_row: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class FittingKind:
    """One kind of fitting.

    ``rows`` are the loss rows that it is made of, each with its count.  ``tube_bores`` is the tube that it adds, in
    bores; ``tube_rises`` the same in rises, the rise being the value of the practice rule ``rise_rule``.
    ``size_change`` marks the one whose loss follows from the bores before and after.  ``angle_deg`` is the turn, None
    where it makes none of its own.
    """

    kind: str
    label: str
    angle_deg: float | None
    rows: tuple[tuple[str, int], ...]
    tube_bores: float
    tube_rises: float
    rise_rule: str | None
    size_change: bool
    note: str


def fitting_kinds() -> tuple[str, ...]:
    """Return the kinds that a job file may put at a node."""
    return tuple(row["kind"] for row in _loaded()["kinds"])


@cache
def fitting_kind(kind: str) -> FittingKind:
    """Return one kind of fitting.

    Raises
    ------
    UserError
        If there is none of that name; names the near ones.
    """
    for row in _loaded()["kinds"]:
        if row["kind"] == kind:
            return FittingKind(
                kind=kind,
                label=row["label"],
                angle_deg=row.get("angle_deg"),
                rows=tuple((name, count) for name, count in row.get("rows", ())),
                tube_bores=float(row.get("tube_bores", 0.0)),
                tube_rises=float(row.get("tube_rises", 0.0)),
                rise_rule=row.get("rise_rule"),
                size_change=row.get("size_change", False),
                note=row.get("note", ""),
            )
    near = get_close_matches(kind, fitting_kinds(), n=3, cutoff=0.6) or fitting_kinds()
    raise UserError(
        "FITTING-01",
        what=f'"{kind}" is not a fitting that the program knows.',
        why=f"Known fittings: {', '.join(fitting_kinds())}.",
        remedy=f"Choose {' or '.join(near)}.",
    )


def fitting_loss_coefficients(
    kind: str, method: LossMethod = LossMethod.THREE_K
) -> tuple[tuple[LossCoefficients, int], ...]:
    """Return the loss constants of what a fitting is made of, each with its count.

    Empty for a kind without a loss of its own (``none``) and for a change of size, which follows from the bores.
    Raises like ``fitting_kind``.
    """
    return tuple((loss_coefficients(row, method), count) for row, count in fitting_kind(kind).rows)


@cache
def loss_coefficients(row: str, method: LossMethod = LossMethod.THREE_K) -> LossCoefficients:
    """Return the constants of one loss row; a name that is not in the table is a defect of the caller (KeyError)."""
    loaded = _loaded()
    entry = loaded["rows"][row]
    published = entry[method]
    if method is LossMethod.THREE_K:
        k1, ki, kd = published["constants"]
        exponent = 0.3
    else:
        k1, ki = published["constants"]
        kd, exponent = 1.0, 1.0
    return LossCoefficients(
        row=row,
        label=entry["label"],
        method=method,
        k1=k1,
        ki=ki,
        kd=kd,
        bore_exponent=exponent,
        published_row=published["row"],
        source=loaded["sources"][method],
        status=loaded["status"],
    )


def loss_rows() -> tuple[str, ...]:
    """Return the names of all loss rows, those of valves too."""
    return tuple(_loaded()["rows"])


def double_riser_bends(role: Literal["small", "large"]) -> tuple[tuple[str, int], ...]:
    """Return the bends of one tube of a double riser where the job does not state its own: kinds with their counts."""
    return tuple((kind, count) for kind, count in _loaded()["double_riser"][role])


@cache
def _loaded() -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(resource("fittings", "fittings.json").read_text(encoding="utf-8"))
    return loaded
