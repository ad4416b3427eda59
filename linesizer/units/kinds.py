"""What a number measures: for every kind its stored unit, its displayed ones and the units that a field accepts."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Literal, TypeAlias

from linesizer.units.factors import (
    CUBIC_METRES_PER_CUBIC_FOOT,
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
    SQUARE_METRES_PER_SQUARE_FOOT,
    WATTS_PER_HORSEPOWER,
    WATTS_PER_TON,
    ZERO_CELSIUS_K,
)

System: TypeAlias = Literal["si", "ip"]
SYSTEMS: tuple[System, System] = ("si", "ip")


class Kind(StrEnum):
    """What a number measures; its value is the word that an error message uses."""

    LENGTH = "length"
    SMALL_LENGTH = "small length"
    SEAL = "height of a seal"
    ALTITUDE = "altitude"
    AREA = "area"
    VOLUME = "volume"
    ROOM_VOLUME = "volume of a room"
    SLOPE = "slope"
    PRESSURE = "pressure"
    PRESSURE_DIFFERENCE = "pressure difference"
    VACUUM = "vacuum"
    STRESS = "stress"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    CAPACITY = "cooling capacity"
    HEAT_FLOW = "heat flow"
    HEAT_PER_LENGTH = "heat per length"
    POWER = "power"
    ENERGY = "energy"
    MASS = "mass"
    MASS_FLOW = "mass flow"
    MASS_FLUX = "mass flux"
    MASS_PER_LENGTH = "mass per length"
    DENSITY = "density"
    CONCENTRATION = "concentration"
    VELOCITY = "velocity"
    VISCOSITY = "viscosity"
    CONDUCTIVITY = "thermal conductivity"
    ENTHALPY = "enthalpy"
    FLOW_COEFFICIENT = "flow coefficient"
    FRACTION = "fraction"
    RATIO = "ratio"
    TIME = "time"
    TIME_YEAR = "hours a year"


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: stored value = number * factor + offset, plus the air pressure where ``gauge``.

    ``words`` are the spellings that a field accepts besides the label, written as ``reading.plain_unit`` leaves them.
    ``parts`` shows the number to the nearest such part of one, as a tape reads it: 8 for ``15 3/4``.
    """

    label: str
    factor: float
    decimals: int = 2
    words: tuple[str, ...] = ()
    offset: float = 0.0
    gauge: bool = False
    parts: int = 0


@dataclass(frozen=True, slots=True)
class Quantity:
    """The units of one kind; the stored unit, the displayed ones (``si``, ``ip``: labels), an example to type."""

    stored: str
    si: str
    ip: str
    units: tuple[Unit, ...]
    example: str
    adds_up: bool = False
    """Whether terms may be added in one entry, as feet and inches are."""
    least: float = -math.inf
    """The stored value below which nothing exists."""

    def unit(self, system: System) -> Unit:
        """Return the displayed unit of one system."""
        label = self.si if system == "si" else self.ip
        return next(unit for unit in self.units if unit.label == label)


_M = Unit("m", 1.0, 2, ("metre", "metres", "meter", "meters"))
_CM = Unit("cm", 1e-2, 1)
_MM = Unit("mm", METRES_PER_MILLIMETRE, 1)
_FT = Unit("ft", METRES_PER_FOOT, 2, ("'", "foot", "feet"))
_IN = Unit("in", METRES_PER_INCH, 3, ('"', "inch", "inches"))
_PA = Unit("Pa", 1.0, 0)
_KPA = Unit("kPa", 1e3, 2)
_MPA = Unit("MPa", 1e6, 1)
_MBAR = Unit("mbar", 1e2, 2)
_BAR = Unit("bar", 1e5, 3)
_PSI = Unit("psi", PASCALS_PER_PSI, 2, ("lb/in2", "lbf/in2"))
_W = Unit("W", 1.0, 0)
_KW = Unit("kW", 1e3, 1)
_MW = Unit("MW", 1e6, 3)
_BTU_H = Unit("Btu/h", JOULES_PER_BTU / 3600.0, 0, ("btuh", "btu/hr"))
_MBH = Unit("MBH", 1000.0 * JOULES_PER_BTU / 3600.0, 1, ("kbtu/h", "kbtu/hr"))
_TON = Unit("tons", WATTS_PER_TON, 2, ("ton", "tr", "rt", "tonr"))
_HEAT = (_W, _KW, _MW, _TON, _BTU_H, _MBH, Unit("kcal/h", 4186.8 / 3600.0, 0))
_PERCENT = Unit("%", 0.01, 2, ("percent", "pct"))
_PURE = Unit("", 1.0, 3)
_ABSOLUTE = ("a", "abs", "absolute")
_GAUGE = ("g", "gauge", "ga")


def _words(stem: str, endings: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(stem + ending for ending in endings)


_QUANTITIES: dict[Kind, Quantity] = {
    Kind.LENGTH: Quantity("m", "m", "ft", (_M, _CM, _MM, _FT, _IN), "3.4 m or 11'6\"", adds_up=True),
    Kind.SMALL_LENGTH: Quantity("m", "mm", "in", (_M, _CM, _MM, _FT, _IN), '19 mm or 3/4"', adds_up=True),
    Kind.SEAL: Quantity(
        "m",
        "mm",
        "in",
        (_M, _CM, replace(_MM, decimals=0), _FT, replace(_IN, parts=8)),
        "400 mm or 15 3/4 in",
        adds_up=True,
    ),
    Kind.ALTITUDE: Quantity(
        "m",
        "m",
        "ft",
        (Unit("m", 1.0, 0, _M.words), Unit("km", 1e3, 3), Unit("ft", METRES_PER_FOOT, 0, _FT.words)),
        "210 m or 690 ft",
    ),
    Kind.AREA: Quantity(
        "m2",
        "m2",
        "ft2",
        (
            Unit("m2", 1.0, 3),
            Unit("mm2", 1e-6, 1),
            Unit("cm2", 1e-4, 2),
            Unit("ft2", SQUARE_METRES_PER_SQUARE_FOOT, 2, ("sqft",)),
            Unit("in2", METRES_PER_INCH**2, 3, ("sqin",)),
        ),
        "2 m2 or 22 ft2",
    ),
    Kind.VOLUME: Quantity(
        "m3",
        "L",
        "ft3",
        (
            Unit("m3", 1.0, 4),
            Unit("L", 1e-3, 2, ("litre", "litres", "liter", "liters", "dm3")),
            Unit("ft3", CUBIC_METRES_PER_CUBIC_FOOT, 3, ("cuft",)),
            Unit("gal", CUBIC_METRES_PER_GALLON, 2, ("usgal", "gallon", "gallons")),
            Unit("in3", METRES_PER_INCH**3, 1, ("cuin",)),
            Unit("cm3", 1e-6, 1, ("cc",)),
        ),
        "60 L or 2.1 ft3",
    ),
    Kind.ROOM_VOLUME: Quantity(
        "m3",
        "m3",
        "ft3",
        (Unit("m3", 1.0, 1), Unit("ft3", CUBIC_METRES_PER_CUBIC_FOOT, 0, ("cuft",))),
        "90 m3 or 3200 ft3",
    ),
    Kind.SLOPE: Quantity(
        "m/m",
        "%",
        "in/ft",
        (
            _PERCENT,
            Unit("in/ft", METRES_PER_INCH / METRES_PER_FOOT, 3),
            Unit("in/10 ft", METRES_PER_INCH / METRES_PER_FOOT / 10.0, 2),
            Unit("mm/m", 1e-3, 1),
            Unit("m/m", 1.0, 4),
        ),
        "0.5 %, 1:200 or 1/4 in/ft",
    ),
    Kind.PRESSURE: Quantity(
        "Pa",
        "bar g",
        "psig",
        (
            Unit("bar g", 1e5, 2, ("bar", *_words("bar", _GAUGE)), gauge=True),
            Unit("kPa g", 1e3, 0, ("kpa", *_words("kpa", _GAUGE)), gauge=True),
            Unit("MPa g", 1e6, 3, ("mpa", *_words("mpa", _GAUGE)), gauge=True),
            Unit("psig", PASCALS_PER_PSI, 1, ("psi", "psiga", "psigauge"), gauge=True),
            Unit("bar a", 1e5, 2, _words("bar", _ABSOLUTE)),
            Unit("kPa a", 1e3, 0, _words("kpa", _ABSOLUTE)),
            Unit("MPa a", 1e6, 3, _words("mpa", _ABSOLUTE)),
            Unit("psia", PASCALS_PER_PSI, 1, _words("psi", _ABSOLUTE)),
            Unit("Pa a", 1.0, 0, _words("pa", _ABSOLUTE)),
        ),
        "24 bar or 350 psi (gauge), 365 psia",
        least=0.0,
    ),
    Kind.PRESSURE_DIFFERENCE: Quantity("Pa", "kPa", "psi", (_PA, _KPA, _MPA, _MBAR, _BAR, _PSI), "14 kPa or 2 psi"),
    Kind.VACUUM: Quantity(
        "Pa",
        "Pa",
        "micron",
        (
            _PA,
            Unit("micron", PASCALS_PER_TORR * 1e-3, 0, ("microns", "μmhg", "umhg")),
            _KPA,
            _MBAR,
            Unit("torr", PASCALS_PER_TORR, 3, ("mmhg",)),
        ),
        "40 Pa or 300 micron",
        least=0.0,
    ),
    Kind.STRESS: Quantity(
        "Pa",
        "MPa",
        "psi",
        (_PA, _KPA, _MPA, Unit("psi", PASCALS_PER_PSI, 0), Unit("ksi", 1e3 * PASCALS_PER_PSI, 2)),
        "41.4 MPa or 6000 psi",
    ),
    Kind.TEMPERATURE: Quantity(
        "C",
        "°C",
        "°F",
        (
            Unit("°C", 1.0, 1, ("c", "celsius")),
            Unit("°F", KELVIN_PER_FAHRENHEIT, 1, ("f", "fahrenheit"), offset=-32.0 * KELVIN_PER_FAHRENHEIT),
            Unit("K", 1.0, 2, ("kelvin",), offset=-ZERO_CELSIUS_K),
        ),
        "5 °C or 41 °F",
        least=-ZERO_CELSIUS_K,
    ),
    Kind.TEMPERATURE_DIFFERENCE: Quantity(
        "K",
        "K",
        "°F",
        (Unit("K", 1.0, 2, ("c", "kelvin")), Unit("°F", KELVIN_PER_FAHRENHEIT, 2, ("f", "r"))),
        "5 K or 9 °F",
    ),
    Kind.CAPACITY: Quantity("W", "kW", "tons", _HEAT, "105 kW or 30 tons"),
    Kind.HEAT_FLOW: Quantity("W", "kW", "MBH", _HEAT, "130 kW or 440 MBH"),
    Kind.HEAT_PER_LENGTH: Quantity(
        "W/m",
        "W/m",
        "Btu/(h ft)",
        (Unit("W/m", 1.0, 1), Unit("Btu/(h ft)", _BTU_H.factor / METRES_PER_FOOT, 1, ("btu/hft", "btu/h/ft"))),
        "12 W/m",
    ),
    Kind.POWER: Quantity(
        "W",
        "kW",
        "kW",
        (_W, Unit("kW", 1e3, 2), _MW, Unit("hp", WATTS_PER_HORSEPOWER, 1, ("bhp",))),
        "28 kW or 37.5 hp",
    ),
    Kind.ENERGY: Quantity(
        "J",
        "kWh",
        "kWh",
        (Unit("J", 1.0, 0), Unit("MJ", 1e6, 1), Unit("kWh", 3.6e6, 0), Unit("MWh", 3.6e9, 2)),
        "1200 kWh",
    ),
    Kind.MASS: Quantity(
        "kg",
        "kg",
        "lb",
        (
            Unit("kg", 1.0, 2),
            Unit("g", 1e-3, 0),
            Unit("t", 1e3, 3),
            Unit("lb", KILOGRAMS_PER_POUND, 2, ("lbs", "pound", "pounds")),
            Unit("oz", KILOGRAMS_PER_POUND / 16.0, 1, ("ounce", "ounces")),
        ),
        "6.5 kg or 14 lb 5 oz",
        adds_up=True,
    ),
    Kind.MASS_FLOW: Quantity(
        "kg/s",
        "kg/s",
        "lb/min",
        (
            Unit("kg/s", 1.0, 4),
            Unit("g/s", 1e-3, 1),
            Unit("kg/h", 1.0 / 3600.0, 1),
            Unit("kg/min", 1.0 / 60.0, 2),
            Unit("lb/min", KILOGRAMS_PER_POUND / 60.0, 2),
            Unit("lb/h", KILOGRAMS_PER_POUND / 3600.0, 0, ("lb/hr",)),
            Unit("lb/s", KILOGRAMS_PER_POUND, 4),
        ),
        "0.65 kg/s or 86 lb/min",
    ),
    Kind.MASS_FLUX: Quantity(
        "kg/(m2 s)",
        "kg/(m2 s)",
        "lb/(ft2 s)",
        (
            Unit("kg/(m2 s)", 1.0, 1, ("kg/m2s",)),
            Unit("lb/(ft2 s)", KILOGRAMS_PER_POUND / SQUARE_METRES_PER_SQUARE_FOOT, 2, ("lb/ft2s",)),
        ),
        "120 kg/m2s",
    ),
    Kind.MASS_PER_LENGTH: Quantity(
        "kg/m",
        "kg/m",
        "lb/100 ft",
        (
            Unit("kg/m", 1.0, 3),
            Unit("g/m", 1e-3, 1),
            Unit("lb/100 ft", KILOGRAMS_PER_POUND / METRES_PER_FOOT / 100.0, 2),
            Unit("lb/ft", KILOGRAMS_PER_POUND / METRES_PER_FOOT, 4),
        ),
        "0.35 kg/m or 23 lb/100 ft",
    ),
    Kind.DENSITY: Quantity(
        "kg/m3",
        "kg/m3",
        "lb/ft3",
        (Unit("kg/m3", 1.0, 1), Unit("lb/ft3", KILOGRAMS_PER_POUND / CUBIC_METRES_PER_CUBIC_FOOT, 2)),
        "950 kg/m3 or 59.3 lb/ft3",
    ),
    Kind.CONCENTRATION: Quantity(
        "kg/m3",
        "kg/m3",
        "lb/1000 ft3",
        (
            Unit("kg/m3", 1.0, 3),
            Unit("g/m3", 1e-3, 0),
            Unit("lb/1000 ft3", KILOGRAMS_PER_POUND / CUBIC_METRES_PER_CUBIC_FOOT / 1000.0, 2),
        ),
        "0.21 kg/m3 or 13 lb/1000 ft3",
    ),
    Kind.VELOCITY: Quantity(
        "m/s",
        "m/s",
        "fpm",
        (
            Unit("m/s", 1.0, 2),
            Unit("fpm", METRES_PER_FOOT / 60.0, 0, ("ft/min",)),
            Unit("ft/s", METRES_PER_FOOT, 2, ("fps",)),
        ),
        "12 m/s or 2400 fpm",
    ),
    Kind.VISCOSITY: Quantity(
        "Pa s",
        "µPa s",
        "cP",
        (Unit("Pa s", 1.0, 7), Unit("µPa s", 1e-6, 2, ("μpas", "upas")), Unit("cP", 1e-3, 4, ("mpas",))),
        "195 µPa s",
    ),
    Kind.CONDUCTIVITY: Quantity(
        "W/(m K)",
        "W/(m K)",
        "Btu in/(h ft2 F)",
        (
            Unit("W/(m K)", 1.0, 3, ("w/mk",)),
            Unit(
                "Btu in/(h ft2 F)",
                JOULES_PER_BTU / 3600.0 * METRES_PER_INCH / SQUARE_METRES_PER_SQUARE_FOOT / KELVIN_PER_FAHRENHEIT,
                3,
                ("btuin/hft2f",),
            ),
        ),
        "0.036 W/mK",
    ),
    Kind.ENTHALPY: Quantity(
        "J/kg",
        "kJ/kg",
        "Btu/lb",
        (Unit("J/kg", 1.0, 0), Unit("kJ/kg", 1e3, 2), Unit("Btu/lb", JOULES_PER_BTU / KILOGRAMS_PER_POUND, 2)),
        "250 kJ/kg",
    ),
    Kind.FLOW_COEFFICIENT: Quantity(
        "m3/h", "Kv", "Cv", (Unit("Kv", 1.0, 2, ("m3/h",)), Unit("Cv", KV_PER_CV, 2)), "8.5 Kv or 9.8 Cv"
    ),
    Kind.FRACTION: Quantity("", "", "", (_PURE, _PERCENT), "0.3 or 30 %"),
    Kind.RATIO: Quantity("", "", "", (Unit("", 1.0, 2), _PERCENT), "1.2"),
    Kind.TIME: Quantity(
        "s",
        "min",
        "min",
        (
            Unit("s", 1.0, 0, ("sec",)),
            Unit("min", 60.0, 1),
            Unit("h", 3600.0, 2, ("hr", "hour", "hours")),
            Unit("d", 86400.0, 2, ("day", "days")),
        ),
        "30 min or 24 h",
        adds_up=True,
    ),
    Kind.TIME_YEAR: Quantity("h", "h", "h", (Unit("h", 1.0, 0, ("hr", "hours", "h/a", "h/yr", "h/year")),), "2200"),
}


def quantity(kind: Kind) -> Quantity:
    """Return the units of one kind."""
    return _QUANTITIES[kind]
