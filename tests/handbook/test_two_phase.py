"""Friction of two phases, and liquid that boils on its way.

Mueller-Steinhagen and Heck, "A simple friction pressure drop correlation for two-phase flow in pipes", Chem. Eng.
Process. 20, 1986 (the form from memory; checked against the fluids library 1.3.1, which cites it):
dp/dz = G (1 - x)^(1/3) + B x^3, G = A + 2 (B - A) x, A and B the gradients of the whole flow as liquid and as vapour.

By hand, A = 100 and B = 1000 Pa/m, x = 0.25: G = 100 + 2 x 900 x 0.25 = 550; 550 x 0.75^(1/3) = 499.7; 1000 x 0.25^3 =
15.6: 515.3 Pa/m.
"""

from __future__ import annotations

import CoolProp
import numpy as np
import pytest
from CoolProp import AbstractState
from fluids.friction import friction_factor
from fluids.two_phase import Muller_Steinhagen_Heck
from scipy.integrate import solve_ivp

from linesizer.domain.route import Service
from linesizer.evaluate import solve
from linesizer.solver.two_phase import homogeneous_density, two_phase_gradient
from tests.solver.routes import ORIGIN, chain, condition, job

BORE_m, ROUGHNESS_m, G = 0.785 * 0.0254, 1.5e-6, 9.80665


def test_the_limits_are_liquid_and_vapour() -> None:
    np.testing.assert_allclose(two_phase_gradient([100.0, 30.0], [1000.0, 700.0], 0.0), [100.0, 30.0], rtol=0.0)
    np.testing.assert_allclose(two_phase_gradient([100.0, 30.0], [1000.0, 700.0], 1.0), [1000.0, 700.0], rtol=0.0)


def test_by_hand() -> None:
    assert float(two_phase_gradient(100.0, 1000.0, 0.25)) == pytest.approx(515.3, abs=0.05)


@pytest.mark.parametrize("fraction", [0.001, 0.02, 0.3, 0.9])
def test_against_a_library(fraction: float) -> None:
    """R134a at 40 C in 19.94 mm, 0.4 kg/s."""
    flow, flux = 0.4, 0.4 / (0.25 * np.pi * BORE_m**2)
    state, gradients, given = AbstractState("HEOS", "R134a"), [], {}
    for quality, name in ((0.0, "l"), (1.0, "g")):
        state.update(CoolProp.QT_INPUTS, quality, 313.15)
        factor = friction_factor(flux * BORE_m / state.viscosity(), ROUGHNESS_m / BORE_m)
        gradients.append(factor / BORE_m * 0.5 * flux**2 / state.rhomass())
        given |= {f"rho{name}": state.rhomass(), f"mu{name}": state.viscosity()}
    expected = Muller_Steinhagen_Heck(flow, fraction, D=BORE_m, L=1.0, roughness=ROUGHNESS_m, **given)
    assert float(two_phase_gradient(*gradients, fraction)) == pytest.approx(expected, rel=1e-9)


def test_homogeneous_density_by_hand() -> None:
    """A twentieth of vapour: 1 / (0.05 / 50 + 0.95 / 1147) = 547.0 kg/m3."""
    assert float(homogeneous_density(1147.0, 50.0, 0.05)) == pytest.approx(547.0, abs=0.1)


def boiling_pressure(flow_kg_s: float, start_Pa: float, enthalpy: float, height_m: float) -> tuple[float, float]:
    """Integrate the climb of saturated liquid with CoolProp: the same laws, an adaptive step."""
    flux = flow_kg_s / (0.25 * np.pi * BORE_m**2)
    liquid, vapour = AbstractState("HEOS", "R134a"), AbstractState("HEOS", "R134a")

    def at(pressure: float) -> float:
        liquid.update(CoolProp.PQ_INPUTS, pressure, 0.0)
        vapour.update(CoolProp.PQ_INPUTS, pressure, 1.0)
        return max((enthalpy - liquid.hmass()) / (vapour.hmass() - liquid.hmass()), 0.0)

    def slope(_: float, values: np.ndarray) -> tuple[float]:
        x = at(values[0])
        a, b = (
            friction_factor(flux * BORE_m / phase.viscosity(), ROUGHNESS_m / BORE_m)
            / BORE_m
            * 0.5
            * flux**2
            / phase.rhomass()
            for phase in (liquid, vapour)
        )
        friction = (a + 2.0 * (b - a) * x) * (1.0 - x) ** (1.0 / 3.0) + b * x**3
        return (-friction - G / (x / vapour.rhomass() + (1.0 - x) / liquid.rhomass()),)

    path = solve_ivp(slope, (0.0, height_m), (start_Pa,), rtol=1e-8)
    return float(path.y[0, -1]), at(float(path.y[0, -1]))


@pytest.mark.parametrize("height_m", [6.0, 15.0])
def test_the_remainder_of_a_line_that_boils(height_m: float) -> None:
    """A leg is walked in eight steps, each with the figures at its start: a tenth of the drop stays open."""
    line = chain([ORIGIN, (0.0, 0.0, height_m)], Service.LIQUID, size="7/8")
    found = solve(job(line, conditions=[condition(subcooling_K=0.0)])).circuits[0]
    flow = found.lines[0].flow
    assert flow is not None
    start = float(flow.inlet_Pa[0])
    end_Pa, fraction = boiling_pressure(
        float(found.conditions.mass_flow_kg_s[0]), start, float(found.conditions.liquid_J_kg[0]), height_m
    )
    assert fraction > 0.01
    assert flow.indicative_outlet_Pa[0] == pytest.approx(end_Pa, abs=0.1 * (start - end_Pa))
    assert flow.indicative_vapour_fraction[0] == pytest.approx(fraction, rel=0.15)


def test_liquid_that_does_not_boil_has_no_indicative_remainder() -> None:
    line = chain([ORIGIN, (0.0, 0.0, 6.0)], Service.LIQUID, size="7/8")
    flow = solve(job(line, conditions=[condition(subcooling_K=15.0)])).circuits[0].lines[0].flow
    assert flow is not None
    assert np.isnan(flow.indicative_outlet_Pa[0])
    assert np.isnan(flow.turns_at_m[0])
