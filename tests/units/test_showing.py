"""Stored values as text, and back by hypothesis."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.units import (
    SYSTEMS,
    Kind,
    System,
    display,
    display_with_unit,
    feet_and_inches,
    from_display,
    parse,
    quantity,
    to_display,
    unit_label,
)

ALTITUDE_AIR_Pa = 95000.0


@pytest.mark.parametrize(
    ("kind", "value", "si", "ip"),
    [
        (Kind.LENGTH, 3.5052, "3.51 m", "11.50 ft"),
        (Kind.SMALL_LENGTH, 0.022225, "22.2 mm", "0.875 in"),
        (Kind.PRESSURE, 101325.0, "0.00 bar g", "0.0 psig"),
        (Kind.PRESSURE, 101325.0 + 1e6, "10.00 bar g", "145.0 psig"),
        (Kind.PRESSURE_DIFFERENCE, 14000.0, "14.00 kPa", "2.03 psi"),
        (Kind.TEMPERATURE, -40.0, "-40.0 °C", "-40.0 °F"),
        (Kind.TEMPERATURE_DIFFERENCE, 1.0, "1.00 K", "1.80 °F"),
        (Kind.CAPACITY, 105505.6, "105.5 kW", "30.00 tons"),
        (Kind.HEAT_FLOW, 105505.6, "105.5 kW", "360.0 MBH"),
        (Kind.POWER, 28000.0, "28.00 kW", "28.00 kW"),
        (Kind.MASS_FLOW, 0.65, "0.6500 kg/s", "85.98 lb/min"),
        (Kind.VELOCITY, 12.0, "12.00 m/s", "2362 fpm"),
        (Kind.VOLUME, 0.060, "60.00 L", "2.119 ft3"),
        (Kind.MASS_PER_LENGTH, 0.35, "0.350 kg/m", "23.52 lb/100 ft"),
        (Kind.SLOPE, 0.0208333, "2.08 %", "0.250 in/ft"),
        (Kind.FRACTION, 0.3, "0.300", "0.300"),
        (Kind.FLOW_COEFFICIENT, 8.65, "8.65 Kv", "10.00 Cv"),
        (Kind.VACUUM, 66.66, "67 Pa", "500 micron"),
        (Kind.TIME_YEAR, 2200.0, "2200 h", "2200 h"),
        (Kind.ENERGY, 3.6e9, "1000 kWh", "1000 kWh"),
    ],
)
def test_known_values(kind: Kind, value: float, si: str, ip: str) -> None:
    assert display_with_unit(kind, value, "si") == si
    assert display_with_unit(kind, value, "ip") == ip
    assert display_with_unit(kind, value, "si") == f"{display(kind, value, 'si')} {unit_label(kind, 'si')}".rstrip()


def test_gauge_pressure_follows_the_sites_air() -> None:
    assert display(Kind.PRESSURE, 1e5 + ALTITUDE_AIR_Pa, "si", atmosphere_Pa=ALTITUDE_AIR_Pa) == "1.00"


@pytest.mark.parametrize("value", [None, math.nan, math.inf, -math.inf])
def test_what_is_not_there_shows_as_a_dash(value: float | None) -> None:
    assert display(Kind.LENGTH, value, "si") == "–"


@pytest.mark.parametrize(
    ("value", "shown"), [(0.0, "0.00"), (-0.0, "0.00"), (-1e-12, "0.00"), (0.0004, "0.00040"), (-0.004, "-0.0040")]
)
def test_small_values_keep_two_digits_and_zero_has_no_sign(value: float, shown: str) -> None:
    assert display(Kind.LENGTH, value, "si") == shown


@given(kind=st.sampled_from(Kind), system=st.sampled_from(SYSTEMS), number=st.floats(-1e6, 1e6))
def test_what_is_shown_reads_back(kind: Kind, system: System, number: float) -> None:
    known = quantity(kind)
    unit = known.unit(system)
    stored = float(from_display(kind, number, system, atmosphere_Pa=ALTITUDE_AIR_Pa))
    if stored < known.least:
        return
    shown = display(kind, stored, system, atmosphere_Pa=ALTITUDE_AIR_Pa)
    # Half of the last shown digit or part, in the stored unit, and a hair for the arithmetic of large numbers.
    last = 1.0 / unit.parts if unit.parts else 10.0**-unit.decimals
    tolerance = 0.5 * last * unit.factor * (1 + 1e-6) + 1e-12 * abs(stored) + 1e-12 * abs(unit.offset)
    for text in (shown, f"{shown} {unit.label}"):
        assert abs(parse(kind, text, system, atmosphere_Pa=ALTITUDE_AIR_Pa) - stored) <= tolerance


@given(kind=st.sampled_from(Kind), system=st.sampled_from(SYSTEMS), numbers=st.lists(st.floats(-1e6, 1e6), min_size=1))
def test_arrays_go_there_and_back(kind: Kind, system: System, numbers: list[float]) -> None:
    there = from_display(kind, numbers, system, atmosphere_Pa=ALTITUDE_AIR_Pa)
    back = to_display(kind, there, system, atmosphere_Pa=ALTITUDE_AIR_Pa)
    unit = quantity(kind).unit(system)
    lost = 1e-15 * (ALTITUDE_AIR_Pa if unit.gauge else abs(unit.offset)) / unit.factor
    np.testing.assert_allclose(back, numbers, rtol=1e-12, atol=2 * lost + 1e-300)


def test_arrays_agree_with_text() -> None:
    values = np.array([[1e5, 2e6], [3e6, 4e6]])
    shown = to_display(Kind.PRESSURE, values, "ip", atmosphere_Pa=ALTITUDE_AIR_Pa)
    assert shown.shape == values.shape
    for value, number in zip(values.ravel(), shown.ravel(), strict=True):
        assert display(Kind.PRESSURE, float(value), "ip", atmosphere_Pa=ALTITUDE_AIR_Pa) == f"{number:.1f}"


@pytest.mark.parametrize(
    ("height_m", "si", "ip"),
    [
        (1.8707, "1871 mm", "73 5/8 in"),
        (0.4, "400 mm", "15 3/4 in"),
        (0.0127, "13 mm", "1/2 in"),
        (0.0254, "25 mm", "1 in"),
        (-0.0381, "-38 mm", "-1 1/2 in"),
        (0.0, "0 mm", "0 in"),
        (0.0003, "0.30 mm", "0.012 in"),
    ],
)
def test_a_seal_shows_in_whole_millimetres_or_eighths_of_an_inch(height_m: float, si: str, ip: str) -> None:
    """1 in is 25.4 mm exactly: 1870.7 mm are 73.65 in, of which the nearest eighth is 73.625."""
    assert display_with_unit(Kind.SEAL, height_m, "si") == si
    assert display_with_unit(Kind.SEAL, height_m, "ip") == ip


@pytest.mark.parametrize(
    ("length_m", "text"),
    [
        (0.0, "0'-0\""),
        (3.5052, "11'-6\""),
        (3.5179, "11'-6 1/2\""),
        (0.0015875, "0'-0 1/16\""),
        (-0.3048, "-1'-0\""),
        (0.30479, "1'-0\""),
        (0.9144 - 0.0001, "3'-0\""),
    ],
)
def test_feet_and_inches(length_m: float, text: str) -> None:
    assert feet_and_inches(length_m) == text


@given(st.floats(-1000.0, 1000.0))
def test_feet_and_inches_read_back(length_m: float) -> None:
    """Within half a sixteenth of an inch."""
    assert parse(Kind.LENGTH, feet_and_inches(length_m), "si") == pytest.approx(length_m, abs=0.0254 / 32 * (1 + 1e-6))
