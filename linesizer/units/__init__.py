"""Text to stored values and back: the only conversion factors of the program.

Every kind of quantity has one stored unit, the one that the job file's and the result file's keys end in (SI;
temperatures in C), and one displayed unit for each of the two systems, ``"si"`` and ``"ip"``.  A field accepts any of
the kind's units typed in; a bare number is in the displayed one.  Pressures are absolute where they are stored and
gauge on the screen, by the air pressure at the site.
"""

from linesizer.units.atmosphere import atmospheric_pressure_Pa
from linesizer.units.factors import (
    CUBIC_METRES_PER_GALLON,
    JOULES_PER_BTU,
    KELVIN_PER_FAHRENHEIT,
    KILOGRAMS_PER_POUND,
    KV_PER_CV,
    METRES_PER_FOOT,
    METRES_PER_INCH,
    METRES_PER_MILLIMETRE,
    PASCALS_PER_PSI,
    PASCALS_PER_TORR,
    WATTS_PER_HORSEPOWER,
    WATTS_PER_TON,
    ZERO_CELSIUS_K,
    STANDARD_ATMOSPHERE_Pa,
    STANDARD_GRAVITY_m_s2,
    celsius_of_fahrenheit,
    kelvin,
)
from linesizer.units.kinds import SYSTEMS, Kind, Quantity, System, Unit, quantity
from linesizer.units.reading import parse
from linesizer.units.showing import (
    display,
    display_with_unit,
    feet_and_inches,
    from_display,
    to_display,
    unit_label,
)

__all__ = [
    "CUBIC_METRES_PER_GALLON",
    "JOULES_PER_BTU",
    "KELVIN_PER_FAHRENHEIT",
    "KILOGRAMS_PER_POUND",
    "KV_PER_CV",
    "METRES_PER_FOOT",
    "METRES_PER_INCH",
    "METRES_PER_MILLIMETRE",
    "PASCALS_PER_PSI",
    "PASCALS_PER_TORR",
    "SYSTEMS",
    "WATTS_PER_HORSEPOWER",
    "WATTS_PER_TON",
    "ZERO_CELSIUS_K",
    "Kind",
    "Quantity",
    "STANDARD_ATMOSPHERE_Pa",
    "STANDARD_GRAVITY_m_s2",
    "System",
    "Unit",
    "atmospheric_pressure_Pa",
    "celsius_of_fahrenheit",
    "display",
    "display_with_unit",
    "feet_and_inches",
    "from_display",
    "kelvin",
    "parse",
    "quantity",
    "to_display",
    "unit_label",
]
