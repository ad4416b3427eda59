"""Heat of lines by hand: metres to condensing in the cold, the insulation that cures it, touch temperature, dew point.

Films: ISO 12241 (from memory): pipe in wind 8.9 v^0.9 / D^0.1, to which 4.5 W/(m2 K) of radiation are added; pipe in
still air 8.5 + 0.05 dT for insulation, 3.1 + 0.05 dT for oxidised metal.  Conductance of a metre of tube
pi / [1 / (h D_o) + ln(D_o / D_t) / (2 k)]; temperature along it T_a + (T_1 - T_a) e^(-U x / (m c_p)).

Discharge line in the cold: 12 kW of R134a at -5 / 30 C, 0.07080 kg/s; gas of 53.85 C, 439.267 kJ/kg, its dew point at
7.702 bar 30 C, 414.819 kJ/kg: mean c_p 24.449 / 23.847 = 1025.2 J/(kg K) (CoolProp).  Air -20 C, 3 m/s, 1-3/8 in.
  Bare: h = 8.9 x 2.688 / 0.7151 + 4.5 = 37.96, U = pi x 0.034925 x 37.96 = 4.165 W/(m K);
  x = 0.07080 x 1025.2 / 4.165 x ln(73.85 / 50) = 6.80 m.
  13 mm of foam, 0.04 W/(m K): D_o = 60.9 mm, h = 36.15, U = pi / (0.4541 + 6.9555) = 0.4240: 66.8 m.
  45 m stay gas with U below 4.165 x 6.80 / 45 = 0.629: 6 mm give 0.740, 9 mm 0.551, so 9 mm.

Touch: bare tube has the gas's temperature.  Behind 9 mm of foam round 1-3/8 in (52.9 mm), gas of 75 C in air of 24 C:
  h = 8.5 + 0.05 x 5.1 = 8.755, U = pi / (2.158 + 5.195) = 0.4272, surface 24 + 0.4272 x 51 / (pi x 0.0529 x 8.755) =
  39.0 C, below the 60 C of ISO 13732-1 (from memory).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from CoolProp.HumidAirProp import HAPropsSI

from linesizer.domain.finding import Figure
from linesizer.domain.job import Job, Room
from linesizer.domain.result import CircuitResult, LegResult, LineFlow
from linesizer.evaluate import solve
from linesizer.solver.dew_point import dew_point_C
from linesizer.solver.heat import conductance_per_length, still_air_film, temperature_along, wind_film
from tests.checks.limits import coded, only
from tests.solver.routes import ORIGIN, chain, condition, job

# c_p goes from 1.00 to 1.07 between gas and dew point; the mean one puts the place within a hundredth.
METRES = 0.01


def cold(length_m: float, insulation_m: float, **changes: Any) -> Job:
    plain = chain([ORIGIN, (length_m, 0.0, 0.0)])
    leg = replace(plain.legs[0], place="outdoor", insulation_m=insulation_m)
    winter = condition(capacity_W=12e3, condensing_C=30.0, ambient_C=-20.0, isentropic_efficiency=0.68)
    return job(replace(plain, legs=(leg,)), conditions=[winter], heat_exchange=True, **changes)


def flow_of(found: CircuitResult) -> LineFlow:
    flow = found.lines[0].flow
    assert flow is not None
    return flow


def legs_of(found: CircuitResult) -> LegResult:
    legs = found.lines[0].legs
    assert legs is not None
    return legs


def test_films_and_conductances() -> None:
    assert float(wind_film(3.0, 0.034925)) == pytest.approx(37.96, abs=0.01)
    assert float(conductance_per_length(0.034925, 0.0, 0.04, 37.957)) == pytest.approx(4.165, abs=0.001)
    assert float(conductance_per_length(0.034925, 0.013, 0.04, 36.146)) == pytest.approx(0.4240, abs=1e-4)
    assert float(still_air_film(20.0, insulated=True)) == pytest.approx(9.5)
    assert float(still_air_film(-20.0, insulated=False)) == pytest.approx(4.1)


def test_the_exponential_by_hand() -> None:
    """One e-folding: 73.85 K above the air fall to 73.85 / e = 27.17 K."""
    assert float(temperature_along(327.0, 253.15, 72.58, 72.58)) == pytest.approx(253.15 + 27.17, abs=0.005)


@pytest.mark.parametrize(("insulation_m", "length_m", "metres"), [(0.0, 30.0, 6.80), (0.013, 80.0, 66.8)])
def test_metres_until_the_gas_condenses(insulation_m: float, length_m: float, metres: float) -> None:
    found = solve(cold(length_m, insulation_m)).circuits[0]
    assert found.conditions.mass_flow_kg_s[0] == pytest.approx(0.07080, rel=5e-4)
    # The compressor works against the line's own drop too, which heats the gas a little.
    assert 53.85 < found.conditions.discharge_C[0] < 53.85 + 0.3
    assert flow_of(found).turns_at_m[0] == pytest.approx(metres, rel=METRES)
    finding = only(found, "gas_condenses")
    assert finding.value == flow_of(found).turns_at_m[0]
    assert finding.limit == length_m
    # From there on it gives its heat at the dew point.
    assert flow_of(found).outlet_C[0] == pytest.approx(30.0, abs=0.05)
    assert legs_of(found).end_margin_K[0, 0] < 0.0


def test_a_line_shorter_than_that_stays_gas() -> None:
    for insulation_m, length_m in ((0.0, 6.5), (0.013, 65.0)):
        found = solve(cold(length_m, insulation_m)).circuits[0]
        assert coded(found, "gas_condenses") == []
        assert np.isnan(flow_of(found).turns_at_m[0])
        assert 0.0 < legs_of(found).end_margin_K[0, 0] < 1.5


def test_the_insulation_that_cures_it() -> None:
    finding = only(solve(cold(45.0, 0.0)).circuits[0], "gas_condenses")
    assert dict(finding.figures)["thickness"] == Figure(dict(finding.figures)["thickness"].kind, 0.009)  # type: ignore[union-attr]
    assert "9.0 mm" in finding.message()
    assert coded(solve(cold(45.0, 0.009)).circuits[0], "gas_condenses") == []
    assert len(coded(solve(cold(45.0, 0.006)).circuits[0], "gas_condenses")) == 1


def test_no_usual_insulation_keeps_a_line_that_is_too_long() -> None:
    """50 mm: U = pi / (0.2 + ln(134.9 / 34.9) / 0.08) = 0.184 W/(m K), 154 m; 200 m condense behind any."""
    finding = only(solve(cold(200.0, 0.0)).circuits[0], "gas_condenses")
    assert "No usual insulation" in finding.message()


@pytest.mark.parametrize(("insulation_m", "surface_C"), [(0.0, 75.0), (0.009, 39.0)])
def test_touch_temperature(insulation_m: float, surface_C: float) -> None:
    plain = chain([ORIGIN, (0.5, 0.0, 0.0)])
    leg = replace(plain.legs[0], place="plant", insulation_m=insulation_m)
    made = job(replace(plain, legs=(leg,)), conditions=[condition(discharge_C=75.0)], heat_exchange=True)
    made = replace(made, site=replace(made.site, rooms=(Room("plant", name="Plant", ambient_C=24.0),)))
    found = solve(made).circuits[0]
    assert legs_of(found).surface_C[0, 0] == pytest.approx(surface_C, abs=0.1)
    hot = coded(found, "hot_to_touch")
    assert len(hot) == (1 if surface_C > 60.0 else 0)
    if hot:
        assert "Plant" in hot[0].message()


# Air, humidity, dew point: psychrometric chart at sea level (from memory), to the tenth.
CHART = [(25.0, 0.60, 16.7), (20.0, 0.50, 9.3), (30.0, 0.80, 26.2)]


@pytest.mark.parametrize(("air_C", "humidity", "dew_C"), CHART)
def test_dew_points_of_the_chart(air_C: float, humidity: float, dew_C: float) -> None:
    assert float(dew_point_C(air_C, humidity)) == pytest.approx(dew_C, abs=0.1)


@pytest.mark.parametrize("air_C", [0.5, 10.0, 25.0, 40.0, 50.0])
@pytest.mark.parametrize("humidity", [0.3, 0.6, 0.95])
def test_dew_points_against_humid_air_of_coolprop(air_C: float, humidity: float) -> None:
    """Within the 0.4 K that its source states; below freezing CoolProp gives frost, which is not asked for."""
    expected = HAPropsSI("D", "T", air_C + 273.15, "R", humidity, "P", 101325.0) - 273.15
    if expected > 0.0:
        assert float(dew_point_C(air_C, humidity)) == pytest.approx(expected, abs=0.4)
