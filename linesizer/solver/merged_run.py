"""Neighbouring legs of one bore taken together, where only the line's totals are wanted and speed counts."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from linesizer.solver.arrays import FloatArray
from linesizer.solver.line_loads import Run
from linesizer.solver.losses import Losses
from linesizer.solver.static_head import GRAVITY


@dataclass(frozen=True, slots=True)
class MergedRun:
    """A run of few long pieces, and where the legs' nodes lie in them.

    ``piece`` is the piece in which each node lies, (nodes,); ``part`` the part of that piece's length up to the node
    and ``rise_m`` the climb within it up to there, (nodes,).
    """

    run: Run
    piece: NDArray[np.intp]
    part: FloatArray
    rise_m: FloatArray

    def densities(self, pressure_Pa: FloatArray, density: FloatArray) -> FloatArray:
        """Return the density at the legs' nodes, (nodes, B), from pressure and density at the pieces', (pieces + 1, B).

        What a piece costs besides its column is spread over its length, and the density between its ends goes with the
        pressure.
        """
        behind = (slice(None),) + (None,) * (pressure_Pa.ndim - 1)
        climb = self.run.rise_m[behind]
        column = 0.5 * GRAVITY * (density[:-1] + density[1:])
        fall = pressure_Pa[:-1] - pressure_Pa[1:]
        other = fall - column * climb
        per_fall = (density[1:] - density[:-1]) / np.where(np.abs(fall) > 1e-6, fall, np.inf)
        slope, rise = other * per_fall, column * per_fall
        return np.asarray(
            density[self.piece] + slope[self.piece] * self.part[behind] + rise[self.piece] * self.rise_m[behind]
        )


def merged(run: Run, pieces: int) -> MergedRun | None:
    """Return a run without double risers and shares as so many pieces of about the same length; None where it is short.

    Exact but for the density, of which a piece takes the mean of its ends: with a change of a tenth along the line and
    eight pieces that is off by 1e-5.

    Parameters
    ----------
    run : Run
        Legs that all carry the whole flow in tubes of one bore.
    pieces : int
        How many pieces at most.
    """
    legs = len(run.length_m)
    if legs < 2 * pieces or run.twins is not None or run.shares is not None:
        return None
    along = np.cumsum(run.length_m)
    number = np.minimum((along - 0.5 * run.length_m) / along[-1] * pieces, pieces - 1).astype(np.intp)
    starts = np.flatnonzero(np.concatenate([[True], number[1:] != number[:-1]]))
    piece = np.searchsorted(starts, np.arange(legs), side="right") - 1
    length = np.add.reduceat(run.length_m, starts)
    climb = np.add.reduceat(run.rise_m, starts)
    before, climbed = np.concatenate([[0.0], along]), np.concatenate([[0.0], np.cumsum(run.rise_m)])
    part = (before[:-1] - before[starts][piece]) / length[piece]
    rise = climbed[:-1] - climbed[starts][piece]
    last = len(starts) - 1
    return MergedRun(
        run=replace(
            run,
            length_m=length,
            rise_m=climb,
            fittings=_summed(run.fittings, starts),
            parts=_summed(run.parts, starts),
        ),
        piece=np.append(piece, last),
        part=np.append(part, 1.0),
        rise_m=np.append(rise, climb[last]),
    )


def _summed(losses: Losses, starts: NDArray[np.intp]) -> Losses:
    columns: dict[str, Any] = {
        field.name: np.add.reduceat(getattr(losses, field.name), starts)
        for field in fields(Losses)
        if field.name != "bore_exponent"
    }
    return replace(losses, **columns)
