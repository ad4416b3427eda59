"""Every unit of every kind against pint, which carries the definitions of NIST SP 811."""

from __future__ import annotations

import re

import pint
import pytest

from linesizer.units import (
    CUBIC_METRES_PER_GALLON,
    JOULES_PER_BTU,
    KILOGRAMS_PER_POUND,
    METRES_PER_FOOT,
    METRES_PER_INCH,
    PASCALS_PER_PSI,
    PASCALS_PER_TORR,
    SYSTEMS,
    WATTS_PER_HORSEPOWER,
    WATTS_PER_TON,
    Kind,
    Unit,
    celsius_of_fahrenheit,
    kelvin,
    quantity,
)

UREG = pint.UnitRegistry()
# Our label -> pint's name where the two differ.
PINT = {
    "": "dimensionless",
    "%": "percent",
    "C": "degC",
    "°C": "degC",
    "°F": "degF",
    "K": "kelvin",
    "h": "hour",
    "d": "day",
    "t": "metric_ton",
    "L": "liter",
    "in/ft": "inch/foot",
    "in/10 ft": "0.1 inch/foot",
    "bar g": "bar",
    "kPa g": "kPa",
    "MPa g": "MPa",
    "psig": "psi",
    "bar a": "bar",
    "kPa a": "kPa",
    "MPa a": "MPa",
    "psia": "psi",
    "Pa a": "Pa",
    "tons": "12000 Btu_it/hour",
    "Btu/h": "Btu_it/hour",
    "MBH": "1000 Btu_it/hour",
    "kcal/h": "1000 cal_it/hour",
    "Btu/(h ft)": "Btu_it/(hour*foot)",
    "Btu/lb": "Btu_it/pound",
    "Btu in/(h ft2 F)": "Btu_it*inch/(hour*foot**2*delta_degF)",
    "W/(m K)": "W/(m*K)",
    "kg/(m2 s)": "kg/(m**2*s)",
    "lb/(ft2 s)": "lb/(ft**2*s)",
    "lb/100 ft": "0.01 lb/ft",
    "lb/1000 ft3": "0.001 lb/ft**3",
    "fpm": "ft/minute",
    "Pa s": "Pa*s",
    "µPa s": "uPa*s",
    "micron": "micron_Hg",
    "gal": "gallon",
    "ksi": "ksi",
    "kg/h": "kg/hour",
    "kg/min": "kg/minute",
    "lb/min": "lb/minute",
    "lb/h": "lb/hour",
    "min": "minute",
    "Kv": "m**3/hour",
    "m3/h": "m**3/hour",
}
UREG.define("micron_Hg = 0.001 * torr")


def pint_name(label: str) -> tuple[float, str]:
    """Pint's unit for one of ours, and how many of it make one of ours."""
    name = PINT.get(label, re.sub(r"(?<=[mtn])(?=[23])", "**", label))
    times, _, unit = name.rpartition(" ")
    return (float(times) if times else 1.0), unit


ROWS = [
    pytest.param(kind, unit, id=f"{kind}-{unit.label}")
    for kind in Kind
    for unit in quantity(kind).units
    if unit.label != "Cv"
]


@pytest.mark.parametrize(("kind", "unit"), ROWS)
def test_factor_and_offset(kind: Kind, unit: Unit) -> None:
    (_, stored), (times, shown) = pint_name(quantity(kind).stored), pint_name(unit.label)
    if kind is Kind.TEMPERATURE_DIFFERENCE:
        shown = shown.replace("degF", "delta_degF")
    for number in (1.0, -40.0, 250.0):
        expected = UREG.Quantity(number * times, shown).to(stored).magnitude
        assert number * unit.factor + unit.offset == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_flow_coefficients() -> None:
    """Cv counts US gallons a minute of water at 1 psi, Kv cubic metres an hour at 1 bar (IEC 60534-1)."""
    gallon_m3_h = UREG.Quantity(1.0, "gallon/minute").to("m**3/hour").magnitude
    bar_per_psi = UREG.Quantity(1.0, "psi").to("bar").magnitude
    units = {unit.label: unit.factor for unit in quantity(Kind.FLOW_COEFFICIENT).units}
    assert units["Cv"] == pytest.approx(gallon_m3_h / bar_per_psi**0.5, rel=1e-12)
    # The trade's rule Kv = 0.865 Cv (IEC 60534-1, three digits).
    assert units["Cv"] == pytest.approx(0.865, abs=5e-4)


@pytest.mark.parametrize(
    ("factor", "name", "unit"),
    [
        (METRES_PER_INCH, "inch", "m"),
        (METRES_PER_FOOT, "foot", "m"),
        (KILOGRAMS_PER_POUND, "pound", "kg"),
        (PASCALS_PER_PSI, "psi", "Pa"),
        (PASCALS_PER_TORR, "torr", "Pa"),
        (JOULES_PER_BTU, "Btu_it", "J"),
        (WATTS_PER_TON / 12000.0, "Btu_it/hour", "W"),
        (WATTS_PER_HORSEPOWER, "horsepower", "W"),
        (CUBIC_METRES_PER_GALLON, "gallon", "m**3"),
    ],
)
def test_named_factors(factor: float, name: str, unit: str) -> None:
    assert factor == pytest.approx(UREG.Quantity(1.0, name).to(unit).magnitude, rel=1e-12)


def test_temperatures() -> None:
    assert kelvin(0.0) == 273.15
    assert celsius_of_fahrenheit(212.0) == pytest.approx(100.0)
    assert celsius_of_fahrenheit(-40.0) == pytest.approx(-40.0)


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_shows_a_unit_of_its_own_in_both_systems(kind: Kind) -> None:
    known = quantity(kind)
    for system in SYSTEMS:
        assert known.unit(system) in known.units
    assert len({unit.label for unit in known.units}) == len(known.units)
    assert known.example
