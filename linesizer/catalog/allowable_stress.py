"""Allowable stress of tube metal by temper and temperature."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from linesizer.catalog.tubes import Temper
from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.units import PASCALS_PER_PSI, celsius_of_fahrenheit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, slots=True)
class StressTable:
    """Allowable stress of one temper at ascending temperatures."""

    temper: Temper
    temperature_C: tuple[float, ...]
    stress_Pa: tuple[float, ...]
    source: str
    status: str

    @property
    def highest_C(self) -> float:
        """The temperature above which the source gives no stress."""
        return self.temperature_C[-1]


@cache
def stress_table(temper: Temper) -> StressTable:
    """Return the table of one temper as its source prints it, in SI."""
    row = json.loads(resource("tubes", "allowable_stress.json").read_text(encoding="utf-8"))["tempers"][temper]
    return StressTable(
        temper=temper,
        temperature_C=tuple(celsius_of_fahrenheit(value) for value in row["temperature"]),
        stress_Pa=tuple(value * PASCALS_PER_PSI for value in row["stress"]),
        source=row["source"],
        status=row["status"],
    )


def allowable_stress_Pa(temper: Temper, temperature_C: ArrayLike) -> NDArray[np.float64]:
    """Return the stress that the metal may bear for good.

    Linear between the columns of the source (100, 150, ... 400 F).  Below the first column the stress of that column
    holds: metal is no weaker when colder.  Above the last there is no value, and none is guessed.

    Parameters
    ----------
    temper : Temper
        Drawn or annealed copper, seamless steel.
    temperature_C : array_like, shape S
        Temperature of the metal, [C].

    Returns
    -------
    ndarray, shape S
        Allowable stress, [Pa].

    Raises
    ------
    UserError
        If a temperature is not finite or above the table's last column (``stress_table(temper).highest_C``).

    References
    ----------
    .. [1] Copper Development Association, Copper Tube Handbook, allowable stresses (read).
    .. [2] ASME B31.5, seamless carbon steel (from memory).
    """
    import numpy as np

    table = stress_table(temper)
    temperatures = np.asarray(temperature_C, dtype=np.float64)
    beyond = ~(temperatures <= table.highest_C)
    if np.any(beyond):
        raise UserError(
            "TUBE-03",
            what=f"Tube of {temper} temper cannot be rated at {float(temperatures[beyond].max()):.4g} C.",
            why=f"Its allowable stress is known up to {table.highest_C:.4g} C.",
            remedy="Lower the discharge temperature, or enter the rating that the tube's maker lists.",
        )
    return np.asarray(np.interp(temperatures, table.temperature_C, table.stress_Pa), dtype=np.float64)
