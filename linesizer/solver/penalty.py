"""What a pressure drop means as a change of saturation temperature."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from linesizer.solver.arrays import FloatArray


def saturation_fall(
    saturation_temperature: Callable[[FloatArray], FloatArray], inlet_pressure: FloatArray, drop: FloatArray
) -> FloatArray:
    r"""Return how far the saturation temperature falls with a pressure drop.

    .. math:: \Delta T = T_{sat}(p_1) - T_{sat}(p_1 - \Delta p)

    Parameters
    ----------
    saturation_temperature : callable
        Temperature [K] from pressure [Pa]: the dew curve for vapour, the bubble curve for liquid.
    inlet_pressure, drop : ndarray, shape S
        Pressure at the line's inlet and drop along it, [Pa].

    Returns
    -------
    ndarray, shape S
        Fall of saturation temperature, [K]; negative where the pressure rises.
    """
    return np.asarray(saturation_temperature(inlet_pressure) - saturation_temperature(inlet_pressure - drop))
