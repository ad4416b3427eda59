"""What people type into fields."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from linesizer.errors import UserError
from linesizer.units import SYSTEMS, Kind, System, parse

FOOT, INCH, PSI, AIR = 0.3048, 0.0254, 6894.757293168, 101325.0


@pytest.mark.parametrize(
    ("kind", "text", "stored"),
    [
        (Kind.LENGTH, "3.4", 3.4),
        (Kind.LENGTH, "3.4 m", 3.4),
        (Kind.LENGTH, "3,4m", 3.4),
        (Kind.LENGTH, " 340 CM ", 3.4),
        (Kind.LENGTH, ".5", 0.5),
        (Kind.LENGTH, "5.", 5.0),
        (Kind.LENGTH, "0,125", 0.125),
        (Kind.LENGTH, "1e1 m", 10.0),
        (Kind.LENGTH, "-2", -2.0),
        (Kind.LENGTH, "\N{MINUS SIGN}2 m", -2.0),
        (Kind.LENGTH, "+2", 2.0),
        (Kind.LENGTH, "11'6\"", 11.5 * FOOT),
        (Kind.LENGTH, "11' 6\"", 11.5 * FOOT),
        (Kind.LENGTH, "11'-6\"", 11.5 * FOOT),
        (Kind.LENGTH, "11', 6\"", 11.5 * FOOT),
        (Kind.LENGTH, "11' 6''", 11.5 * FOOT),
        (Kind.LENGTH, "11\N{PRIME}6\N{DOUBLE PRIME}", 11.5 * FOOT),
        (Kind.LENGTH, "11\N{RIGHT SINGLE QUOTATION MARK}6\N{RIGHT DOUBLE QUOTATION MARK}", 11.5 * FOOT),
        (Kind.LENGTH, "11'6", 11.5 * FOOT),
        (Kind.LENGTH, "-11'6\"", -11.5 * FOOT),
        (Kind.LENGTH, "138 in", 138 * INCH),
        (Kind.LENGTH, '138"', 138 * INCH),
        (Kind.LENGTH, "11 ft 6 1/2 in", 11 * FOOT + 6.5 * INCH),
        (Kind.LENGTH, "11 ft. 6 1/2 in.", 11 * FOOT + 6.5 * INCH),
        (Kind.LENGTH, "11' 6 1/2\"", 11 * FOOT + 6.5 * INCH),
        (Kind.LENGTH, "11' 6-1/2\"", 11 * FOOT + 6.5 * INCH),
        (Kind.LENGTH, "11'-6 1/2\"", 11 * FOOT + 6.5 * INCH),
        (Kind.LENGTH, "11' 6½\"", 11 * FOOT + 6.5 * INCH),
        (Kind.LENGTH, "11 feet 6 inches", 11.5 * FOOT),
        (Kind.LENGTH, "11.5 ft", 11.5 * FOOT),
        (Kind.LENGTH, "2 m 30 cm", 2.3),
        (Kind.LENGTH, "1,234,567 mm", 1234.567),
        (Kind.LENGTH, "1.234.567 mm", 1234.567),
        (Kind.LENGTH, "1,234.5 m", 1234.5),
        (Kind.LENGTH, "1.234,5 m", 1234.5),
        (Kind.SMALL_LENGTH, '5/8"', 0.625 * INCH),
        (Kind.SMALL_LENGTH, "1-1/8 in", 1.125 * INCH),
        (Kind.SMALL_LENGTH, '1 1/8"', 1.125 * INCH),
        (Kind.SMALL_LENGTH, "⅞ in", 0.875 * INCH),
        (Kind.SMALL_LENGTH, "19", 0.019),
        (Kind.PRESSURE, "350 psi", AIR + 350 * PSI),
        (Kind.PRESSURE, "350 psig", AIR + 350 * PSI),
        (Kind.PRESSURE, "350 psia", 350 * PSI),
        (Kind.PRESSURE, "24", AIR + 24e5),
        (Kind.PRESSURE, "24 bar", AIR + 24e5),
        (Kind.PRESSURE, "24 bar(g)", AIR + 24e5),
        (Kind.PRESSURE, "24 bar abs", 24e5),
        (Kind.PRESSURE, "2400 kPa", AIR + 24e5),
        (Kind.PRESSURE, "2.4 MPa a", 24e5),
        (Kind.PRESSURE, "-0.5 bar", AIR - 0.5e5),
        (Kind.PRESSURE, "0 psia", 0.0),
        (Kind.PRESSURE_DIFFERENCE, "14", 14000.0),
        (Kind.PRESSURE_DIFFERENCE, "2 psi", 2 * PSI),
        (Kind.VACUUM, "500 microns", 66.661184),
        (Kind.TEMPERATURE, "41 F", 5.0),
        (Kind.TEMPERATURE, "41 °F", 5.0),
        (Kind.TEMPERATURE, "41 deg F", 5.0),
        (Kind.TEMPERATURE, "5 °C", 5.0),
        (Kind.TEMPERATURE, "5ºC", 5.0),
        (Kind.TEMPERATURE, "-20", -20.0),
        (Kind.TEMPERATURE, "278.15 K", 5.0),
        (Kind.TEMPERATURE_DIFFERENCE, "9 F", 5.0),
        (Kind.TEMPERATURE_DIFFERENCE, "5 C", 5.0),
        (Kind.CAPACITY, "30 tons", 30 * 3516.8528420667),
        (Kind.CAPACITY, "30 TR", 30 * 3516.8528420667),
        (Kind.CAPACITY, "105 kW", 105000.0),
        (Kind.CAPACITY, "360 MBH", 30 * 3516.8528420667),
        (Kind.CAPACITY, "360,000.0 Btu/h", 30 * 3516.8528420667),
        (Kind.POWER, "1 hp", 745.69987158227),
        (Kind.MASS, "14 lb 5 oz", (14 + 5 / 16) * 0.45359237),
        (Kind.MASS_FLOW, "86 lb/min", 86 * 0.45359237 / 60),
        (Kind.MASS_FLOW, "2340 kg per h", 0.65),
        (Kind.VELOCITY, "2400 fpm", 12.192),
        (Kind.VELOCITY, "2400 ft/min", 12.192),
        (Kind.VOLUME, "60", 0.060),
        (Kind.VOLUME, "2 cu ft", 2 * FOOT**3),
        (Kind.VOLUME, "0,06 m³", 0.06),
        (Kind.DENSITY, "950 kg/m3", 950.0),
        (Kind.MASS_PER_LENGTH, "23 lb/100 ft", 23 * 0.45359237 / 30.48),
        (Kind.SLOPE, "1:200", 0.005),
        (Kind.SLOPE, "1 in 50", 0.02),
        (Kind.SLOPE, "1/50", 0.02),
        (Kind.SLOPE, "2 %", 0.02),
        (Kind.SLOPE, "2", 0.02),
        (Kind.SLOPE, "1/4 in/ft", 1 / 48),
        (Kind.SLOPE, "1/2 in per 10 ft", 1 / 240),
        (Kind.FRACTION, "0.3", 0.3),
        (Kind.FRACTION, "30 %", 0.3),
        (Kind.FRACTION, "1/2", 0.5),
        (Kind.CONDUCTIVITY, "0.036 W/mK", 0.036),
        (Kind.CONDUCTIVITY, "0.036 W/(m·K)", 0.036),
        (Kind.FLOW_COEFFICIENT, "8.5", 8.5),
        (Kind.FLOW_COEFFICIENT, "10 Cv", 8.64978),
        (Kind.TIME, "1 h 30 min", 5400.0),
    ],
)
def test_what_people_type(kind: Kind, text: str, stored: float) -> None:
    assert parse(kind, text, "si") == pytest.approx(stored, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize(
    ("kind", "text", "stored"),
    [
        (Kind.LENGTH, "11.5", 11.5 * FOOT),
        (Kind.LENGTH, "3.4 m", 3.4),
        (Kind.SMALL_LENGTH, "3/4", 0.75 * INCH),
        (Kind.SMALL_LENGTH, "1-1/8", 1.125 * INCH),
        (Kind.PRESSURE, "350", AIR + 350 * PSI),
        (Kind.PRESSURE, "24 bar", AIR + 24e5),
        (Kind.TEMPERATURE, "41", 5.0),
        (Kind.TEMPERATURE, "5 C", 5.0),
        (Kind.TEMPERATURE_DIFFERENCE, "9", 5.0),
        (Kind.CAPACITY, "30", 30 * 3516.8528420667),
        (Kind.SLOPE, "1/4", 1 / 48),
        (Kind.SLOPE, "1:200", 0.005),
        (Kind.ALTITUDE, "690", 690 * FOOT),
    ],
)
def test_a_bare_number_is_in_the_unit_on_the_screen(kind: Kind, text: str, stored: float) -> None:
    assert parse(kind, text, "ip") == pytest.approx(stored, rel=1e-6)


def test_gauge_pressure_follows_the_sites_air() -> None:
    assert parse(Kind.PRESSURE, "1 bar", "si", atmosphere_Pa=9e4) == pytest.approx(1.9e5)
    assert parse(Kind.PRESSURE, "1 bar a", "si", atmosphere_Pa=9e4) == pytest.approx(1e5)


@pytest.mark.parametrize(
    ("kind", "text", "reason"),
    [
        (Kind.LENGTH, "", "holds no number"),
        (Kind.LENGTH, "   ", "holds no number"),
        (Kind.LENGTH, "long", "does not start with a number"),
        (Kind.LENGTH, "nan", "does not start with a number"),
        (Kind.LENGTH, "inf", "does not start with a number"),
        (Kind.LENGTH, "--3", "does not start with a number"),
        (Kind.LENGTH, "+-3", "does not start with a number"),
        (Kind.LENGTH, "'", "does not start with a number"),
        (Kind.LENGTH, "3 bananas", 'has the unit "bananas", which is not one of a length'),
        (Kind.LENGTH, "3 kW", 'has the unit "kw"'),
        (Kind.LENGTH, "3 4", "without a unit"),
        (Kind.LENGTH, "5²", "without a unit"),
        (Kind.LENGTH, "6\" 11'", "larger unit to the smaller"),
        (Kind.LENGTH, "6' 6'", "larger unit to the smaller"),
        (Kind.LENGTH, "2 m 30", "without a unit"),
        (Kind.LENGTH, "3-4", "is not understood"),
        (Kind.LENGTH, "1,200", "has two readings: write 1200, or 1.200 with a point"),
        (Kind.LENGTH, "1,20,0", "too many points or commas"),
        (Kind.LENGTH, "1.2.3", "too many points or commas"),
        (Kind.LENGTH, "1/0", "divides by zero"),
        (Kind.LENGTH, "1 1/0 in", "divides by zero"),
        (Kind.LENGTH, "1e999", "is too large"),
        (Kind.LENGTH, "9" * 61, "is too long"),
        (Kind.SLOPE, "1:0", "divides by zero"),
        (Kind.FRACTION, "0.3 m", 'has the unit "m"'),
        (Kind.TEMPERATURE, "-300", "is below -273.15 C"),
        (Kind.TEMPERATURE, "-1 K", "is below -273.15 C"),
        (Kind.PRESSURE, "-2 bar", "is below 0 Pa"),
        (Kind.PRESSURE, "-1 psia", "is below 0 Pa"),
    ],
)
def test_nonsense_is_refused_with_what_is_accepted(kind: Kind, text: str, reason: str) -> None:
    with pytest.raises(UserError) as caught:
        parse(kind, text, "si", named="Length of leg d1")
    assert caught.value.code == "UNITS-01"
    assert reason in caught.value.what
    assert caught.value.what.startswith("Length of leg d1: ")
    assert "number" in caught.value.why
    assert "for example" in caught.value.remedy


def test_the_example_of_every_kind_is_itself_accepted() -> None:
    from linesizer.units import quantity

    for kind in Kind:
        for text in quantity(kind).example.replace(" (gauge)", "").replace(", ", " or ").split(" or "):
            for system in SYSTEMS:
                assert parse(kind, text, system) >= 0.0


@given(kind=st.sampled_from(Kind), system=st.sampled_from(SYSTEMS), text=st.text(max_size=70))
@example(Kind.LENGTH, "si", "1/" + "9" * 50)
@example(Kind.LENGTH, "si", "٣")
def test_any_text_gives_a_number_or_a_user_error(kind: Kind, system: System, text: str) -> None:
    try:
        value = parse(kind, text, system)
    except UserError:
        return
    assert abs(value) < float("inf")


@given(
    kind=st.sampled_from(Kind),
    system=st.sampled_from(SYSTEMS),
    text=st.text(alphabet="0123456789.,/-+ '\"eEmftinbarpskKCF%:²½", max_size=20),
)
def test_almost_numbers_give_a_number_or_a_user_error(kind: Kind, system: System, text: str) -> None:
    try:
        value = parse(kind, text, system)
    except UserError:
        return
    assert abs(value) < float("inf")
