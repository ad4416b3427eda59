"""The array type that the solver speaks."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]

__all__ = ["ArrayLike", "BoolArray", "FloatArray"]
