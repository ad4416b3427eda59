"""Column, penalty, oil return, volume and content: each by itself against what it is by definition."""

from __future__ import annotations

import CoolProp
import numpy as np
import pytest
from CoolProp import AbstractState

from linesizer.properties.library import load
from linesizer.solver.charge import tube_volume, vessel_charge
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.static_head import GRAVITY, static_drop


def test_ten_metres_of_water_are_98_kilopascals() -> None:
    assert static_drop(1000.0, 10.0) == pytest.approx(98066.5, rel=1e-14)
    assert static_drop(1000.0, -10.0) == pytest.approx(-98066.5, rel=1e-14)


@pytest.mark.parametrize(("refrigerant", "lift_K"), [("R134a", 3.7), ("R410A", 1.4)])
def test_what_a_lift_of_ten_metres_costs_in_saturation_temperature(refrigerant: str, lift_K: float) -> None:
    """Liquid at its bubble point of 46 C: 3.7 K for R134a, 1.4 K for R410A (derived, printed to 0.1 K)."""
    table = load(refrigerant)
    pressure = table.bubble_pressure(319.15)
    column = static_drop(table.saturated_liquid(pressure).density_kg_m3, 10.0)
    fall = saturation_fall(table.bubble_temperature, pressure, column)
    assert fall == pytest.approx(lift_K, abs=0.05)
    state = AbstractState("HEOS", refrigerant)
    temperatures = []
    for at in (float(pressure), float(pressure - column)):
        state.update(CoolProp.PQ_INPUTS, at, 0.0)
        temperatures.append(state.T())
    assert fall == pytest.approx(temperatures[0] - temperatures[1], abs=1e-4)


def test_a_rise_of_pressure_is_a_negative_fall() -> None:
    table = load("R134a")
    assert saturation_fall(table.dew_temperature, np.array(8e5), np.array(-2e4)) < 0.0


def test_the_flux_that_carries_oil_by_hand() -> None:
    """40 kg/m3 of gas, 950 of film, 30 mm: 0.7225 sqrt(40 x 9.80665 x 0.03 x 910) = 74.77 kg/(m2 s)."""
    assert minimum_mass_flux(40.0, 950.0, 0.03) == pytest.approx(0.7225 * np.sqrt(40 * GRAVITY * 0.03 * 910), rel=1e-14)
    assert minimum_mass_flux(40.0, 950.0, 0.03) == pytest.approx(74.77, abs=0.01)


def test_the_flow_that_carries_oil_goes_with_the_bore_to_the_power_of_two_and_a_half() -> None:
    bores = np.array([0.01, 0.04])
    flow = minimum_mass_flux(40.0, 950.0, bores) * bores**2
    assert flow[1] / flow[0] == pytest.approx(4.0**2.5, rel=1e-12)


@pytest.mark.parametrize(
    ("vapour", "film", "bore"), [(0.0, 950.0, 0.03), (40.0, 950.0, 0.0), (40.0, 40.0, 0.03), (-1.0, 950.0, 0.03)]
)
def test_oil_return_refuses_what_cannot_be(vapour: float, film: float, bore: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        minimum_mass_flux(vapour, film, bore)


def test_a_tubes_volume() -> None:
    """A bore of 20 mm holds 0.31416 litres a metre."""
    np.testing.assert_allclose(tube_volume(0.02, [1.0, 10.0]), [3.14159265e-4, 3.14159265e-3], rtol=1e-8)


def test_a_vessels_content() -> None:
    """60 litres, 30 % liquid of 1100 kg/m3 under gas of 50: 19.8 + 2.1 kg."""
    found = vessel_charge(0.060, 0.3, np.array([1100.0]), np.array([50.0]))
    np.testing.assert_allclose(found, [21.9], rtol=1e-14)
