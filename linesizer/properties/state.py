"""A thermodynamic state, as arrays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """Single-phase or saturated states in SI units; every array has the shape of the arguments, broadcast."""

    pressure_Pa: FloatArray
    temperature_K: FloatArray
    density_kg_m3: FloatArray
    enthalpy_J_kg: FloatArray
    entropy_J_kgK: FloatArray
    viscosity_Pa_s: FloatArray
    sound_speed_m_s: FloatArray
