"""The only conversion factors of the program, exact by definition unless a source is named."""

from __future__ import annotations

import math

STANDARD_GRAVITY_m_s2 = 9.80665
STANDARD_ATMOSPHERE_Pa = 101325.0
ZERO_CELSIUS_K = 273.15

# Exact by definition: international yard and pound (1959), International Table calorie (5th ICPS, 1956), the ton as the
# heat that melts a short ton of ice in a day at 12,000 Btu an hour.
METRES_PER_MILLIMETRE = 1e-3
METRES_PER_INCH = 0.0254
METRES_PER_FOOT = 0.3048
KILOGRAMS_PER_POUND = 0.45359237
PASCALS_PER_PSI = KILOGRAMS_PER_POUND * STANDARD_GRAVITY_m_s2 / METRES_PER_INCH**2
PASCALS_PER_TORR = STANDARD_ATMOSPHERE_Pa / 760.0
KELVIN_PER_FAHRENHEIT = 5.0 / 9.0
JOULES_PER_BTU = 4.1868 * KILOGRAMS_PER_POUND * 1000.0 * KELVIN_PER_FAHRENHEIT
WATTS_PER_TON = 12000.0 * JOULES_PER_BTU / 3600.0
WATTS_PER_HORSEPOWER = 550.0 * METRES_PER_FOOT * KILOGRAMS_PER_POUND * STANDARD_GRAVITY_m_s2
CUBIC_METRES_PER_GALLON = 231.0 * METRES_PER_INCH**3
KV_PER_CV = CUBIC_METRES_PER_GALLON * 60.0 * math.sqrt(1e5 / PASCALS_PER_PSI)
SQUARE_METRES_PER_SQUARE_FOOT = METRES_PER_FOOT**2
CUBIC_METRES_PER_CUBIC_FOOT = METRES_PER_FOOT**3


def kelvin(celsius: float) -> float:
    """Return a temperature in C as kelvin."""
    return celsius + ZERO_CELSIUS_K


def celsius_of_fahrenheit(fahrenheit: float) -> float:
    """Return a temperature in F as C."""
    return (fahrenheit - 32.0) * KELVIN_PER_FAHRENHEIT
