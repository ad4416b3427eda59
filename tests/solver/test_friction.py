"""Friction factor against the fluids library and against Colebrook's equation itself."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.friction import Colebrook
from fluids.friction import friction_factor as fluids_friction_factor

from linesizer.solver.friction import LAMINAR_TO, TURBULENT_FROM, friction_factor, reynolds_number

REYNOLDS = np.geomspace(4000.0, 1e8, 13)
ROUGHNESS = np.array([0.0, 1e-7, 1.5e-6 / 0.1, 1.5e-6 / 0.008, 4.5e-5 / 0.05, 4.5e-5 / 0.01, 0.05])


def test_turbulent_values_are_those_of_fluids() -> None:
    found = friction_factor(REYNOLDS[:, None], ROUGHNESS)
    for row, reynolds in zip(found, REYNOLDS, strict=True):
        for value, roughness in zip(row, ROUGHNESS, strict=True):
            assert value == pytest.approx(fluids_friction_factor(reynolds, roughness), rel=1e-10)


@pytest.mark.parametrize(("reynolds", "roughness"), [(4000.0, 1e-4), (1e5, 1.5e-6 / 0.02), (3e6, 4.5e-5 / 0.05)])
def test_turbulent_values_are_those_of_the_exact_solution(reynolds: float, roughness: float) -> None:
    assert friction_factor(reynolds, roughness) == pytest.approx(Colebrook(reynolds, roughness), rel=1e-10)


def test_turbulent_values_satisfy_colebrooks_equation() -> None:
    reynolds, roughness = np.meshgrid(REYNOLDS, ROUGHNESS)
    root = np.sqrt(friction_factor(reynolds, roughness))
    right = -2.0 * np.log10(roughness / 3.7 + 2.51 / (reynolds * root))
    # A relative error of 1e-10 in f is half of that in 1 / sqrt(f), which the right side damps.
    np.testing.assert_allclose(1.0 / root, right, rtol=1e-10)


def test_laminar_flow_and_the_passage_to_turbulent() -> None:
    rough = 1e-4
    np.testing.assert_allclose(friction_factor([1.0, 500.0, 2300.0], rough), [64.0, 0.128, 64.0 / 2300.0], rtol=1e-15)
    low, high = 64.0 / LAMINAR_TO, fluids_friction_factor(TURBULENT_FROM, rough)
    middle = friction_factor(0.5 * (LAMINAR_TO + TURBULENT_FROM), rough)
    assert middle == pytest.approx(0.5 * (low + high), rel=1e-10)
    quarter = friction_factor(LAMINAR_TO + 0.25 * (TURBULENT_FROM - LAMINAR_TO), rough)
    assert quarter == pytest.approx(0.75 * low + 0.25 * high, rel=1e-10)


def test_laminar_and_turbulent_values_in_one_call_are_those_of_single_calls() -> None:
    reynolds = np.array([900.0, 2300.0, 3000.0, 4000.0, 2e5])
    found = friction_factor(reynolds, 2e-4)
    np.testing.assert_allclose(found, [float(friction_factor(at, 2e-4)) for at in reynolds], rtol=1e-14)


def test_reynolds_number_is_that_of_velocity_and_density() -> None:
    """0.1 kg/s of water-like liquid, 1000 kg/m3 and 1 mPa s, in 20 mm: 0.3183 m/s, Re 6366."""
    velocity = 0.1 / 1000.0 / (np.pi * 0.01**2)
    assert reynolds_number(0.1, 0.020, 1e-3) == pytest.approx(1000.0 * velocity * 0.020 / 1e-3, rel=1e-14)
