"""Stored values as a person reads them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from linesizer.units.factors import METRES_PER_INCH, STANDARD_ATMOSPHERE_Pa
from linesizer.units.kinds import Kind, System, quantity

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray


def unit_label(kind: Kind, system: System) -> str:
    """Return the displayed unit of one kind, empty for a pure number."""
    return quantity(kind).unit(system).label


def display(kind: Kind, value: float | None, system: System, *, atmosphere_Pa: float = STANDARD_ATMOSPHERE_Pa) -> str:
    """Return a stored value as a person reads it, without its unit.

    The decimals, or the parts of an inch, are those of the kind; a value too small for decimals shows two significant
    digits instead of zero.  None and what is not finite show as an en dash.

    Parameters
    ----------
    kind : Kind
        What the number measures.
    value : float or None
        In the kind's stored unit; absolute for a pressure.
    system : {"si", "ip"}
        Which displayed unit.
    atmosphere_Pa : float
        Air pressure at the site, [Pa]; only a gauge pressure needs it.
    """
    if value is None or not math.isfinite(value):
        return "–"
    unit = quantity(kind).unit(system)
    number = (value - unit.offset - (atmosphere_Pa if unit.gauge else 0.0)) / unit.factor
    if unit.parts and (round(abs(number) * unit.parts) or abs(number) <= 1e-9):
        return _with_parts(number, unit.parts)
    text = f"{number:.{unit.decimals}f}"
    if float(text) == 0.0:
        # 1e-9: what is left of a zero after converting there and back is a zero.
        if abs(number) <= 1e-9:
            return text.removeprefix("-")
        places = min(9, 1 - math.floor(math.log10(abs(number))))
        return f"{number:.{places}f}"
    return text


def display_with_unit(
    kind: Kind, value: float | None, system: System, *, atmosphere_Pa: float = STANDARD_ATMOSPHERE_Pa
) -> str:
    """Return a stored value as a person reads it, with its unit."""
    return f"{display(kind, value, system, atmosphere_Pa=atmosphere_Pa)} {unit_label(kind, system)}".rstrip()


def to_display(
    kind: Kind, values: ArrayLike, system: System, *, atmosphere_Pa: float = STANDARD_ATMOSPHERE_Pa
) -> NDArray[np.float64]:
    """Return stored values, shape S, as numbers in the displayed unit, shape S."""
    import numpy as np

    unit = quantity(kind).unit(system)
    shift = unit.offset + (atmosphere_Pa if unit.gauge else 0.0)
    return np.asarray((np.asarray(values, dtype=np.float64) - shift) / unit.factor)


def from_display(
    kind: Kind, values: ArrayLike, system: System, *, atmosphere_Pa: float = STANDARD_ATMOSPHERE_Pa
) -> NDArray[np.float64]:
    """Return numbers in the displayed unit, shape S, as stored values, shape S."""
    import numpy as np

    unit = quantity(kind).unit(system)
    shift = unit.offset + (atmosphere_Pa if unit.gauge else 0.0)
    return np.asarray(np.asarray(values, dtype=np.float64) * unit.factor + shift)


def feet_and_inches(length_m: float, *, denominator: int = 16) -> str:
    """Return a length as a tape measure reads it, to the nearest fraction of an inch: ``11'-6 1/2"``."""
    parts = round(abs(length_m) / METRES_PER_INCH * denominator)
    inches, rest = divmod(parts, denominator)
    feet, inches = divmod(inches, 12)
    fraction = f" {_fraction(rest, denominator)}" if rest else ""
    sign = "-" if length_m < 0 and parts else ""
    return f"{sign}{feet}'-{inches}{fraction}\""


def _with_parts(number: float, denominator: int) -> str:
    """Return a number to the nearest part of one: ``15 3/4``, ``3/8``, ``-2``."""
    whole, rest = divmod(round(abs(number) * denominator), denominator)
    words = [str(whole)] if whole or not rest else []
    return ("-" if number < 0 and (whole or rest) else "") + " ".join(
        [*words, _fraction(rest, denominator)] if rest else words
    )


def _fraction(parts: int, denominator: int) -> str:
    common = math.gcd(parts, denominator)
    return f"{parts // common}/{denominator // common}"
