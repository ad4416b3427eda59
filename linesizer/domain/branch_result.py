"""What the way to, or from, one of several parallel condensers shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class BranchResult:
    """One condenser's way through a line; arrays have shape (conditions,), NaN where a flow does not pass.

    ``legs`` are those on the way in the order of flow, ``own`` those of them that carry this condenser's flow alone.
    ``share`` is its part of the circuit's flow.  ``inlet_Pa`` and ``outlet_Pa`` are the pressures at both ends of the
    way, ``drop_Pa`` their difference, ``saturation_penalty_K`` that of the drop without its columns.  ``governs`` says
    where this way is the one whose figures stand for the line: of a gas line the one that costs most, of a liquid line
    the one whose column is full.

    Of a liquid or drain line, else NaN: ``column_short_m`` is by how much the liquid in this condenser's own branch
    stands below full, ``own_fall_m`` what that branch falls from condenser to header (negative where it climbs).
    """

    equipment: str
    legs: tuple[str, ...]
    own: tuple[str, ...]
    share: NDArray[np.float64]
    inlet_Pa: NDArray[np.float64]
    outlet_Pa: NDArray[np.float64]
    drop_Pa: NDArray[np.float64]
    saturation_penalty_K: NDArray[np.float64]
    governs: NDArray[np.bool_]
    column_short_m: NDArray[np.float64]
    own_fall_m: float
