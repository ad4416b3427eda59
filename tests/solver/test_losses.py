"""Gathered losses against the definition of each form."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.fittings import Kv_to_K

from linesizer.solver.losses import Losses

RE, BORE, F = np.array([[2e5], [4e4]]), np.array([[0.0254], [0.0508]]), np.array([[0.016], [0.021]])


def test_kv_is_the_flow_of_water_at_one_bar() -> None:
    """IEC 60534-1: Kv cubic metres an hour of water of 1000 kg/m3 lose 1 bar."""
    losses = Losses.none(2)
    losses.inverse_kv2[:] = [1.0 / 6.3**2, 0.0]
    flow = np.array([6.3 * 1000.0 / 3600.0])
    drop = losses.flow_over_kv(flow, 2) / 1000.0
    np.testing.assert_allclose(drop, [[1e5], [0.0]], rtol=1e-14)
    # Of a liquid half as dense the same mass flow loses twice as much, and twice the mass flow four times as much.
    np.testing.assert_allclose(losses.flow_over_kv(2.0 * flow, 2)[0] / 500.0, 8e5, rtol=1e-14)


def test_kv_agrees_with_fluids_as_a_loss_coefficient() -> None:
    bore, kv, density, flow = 0.0254, 9.0, 1150.0, 0.8
    velocity = flow / density / (0.25 * np.pi * bore**2)
    losses = Losses.none(1)
    losses.inverse_kv2[0] = 1.0 / kv**2
    drop = float(losses.flow_over_kv(np.array([flow]), 2)[0, 0]) / density
    # fluids takes water as 999.29 kg/m3 and says so: within 0.1 %.
    assert drop == pytest.approx(Kv_to_K(kv, bore) * 0.5 * density * velocity**2, rel=1e-3)


def test_stated_drops_constant_and_with_the_flow_squared() -> None:
    losses = Losses.none(2)
    losses.drop_per_flow2[:] = [20e3 / 0.5**2, 0.0]
    losses.drop_Pa[:] = [0.0, 7e3]
    np.testing.assert_allclose(losses.stated_drop(np.array([0.5, 0.25]), 2), [[20e3, 5e3], [7e3, 7e3]], rtol=1e-14)


def test_every_term_of_the_coefficient() -> None:
    """K = k1/Re + k + k_d / inches^0.3 + f (bores + length / bore), worked by hand for bores of 1 and 2 inches."""
    losses = Losses.none(2)
    losses.k1[:] = 800.0
    losses.k_fixed[:] = 0.5
    losses.k_by_bore[:] = 0.3
    losses.bores[:] = 6.0
    losses.length_m[:] = 1.27
    found = losses.coefficient(RE, BORE, F)
    expected = [
        [0.004 + 0.5 + 0.3 + 0.016 * (6.0 + 50.0)],
        [0.02 + 0.5 + 0.3 / 2.0**0.3 + 0.021 * (6.0 + 25.0)],
    ]
    np.testing.assert_allclose(found, expected, rtol=1e-12)


def test_nothing_loses_nothing() -> None:
    assert not Losses.none(2).coefficient(RE, BORE, F).any()


def test_two_k_goes_with_one_over_the_bore() -> None:
    losses = Losses.none(2, bore_exponent=1.0)
    losses.k_by_bore[:] = 0.2
    np.testing.assert_allclose(losses.coefficient(RE, BORE, F), [[0.2], [0.1]], rtol=1e-12)
