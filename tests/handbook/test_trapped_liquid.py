r"""The pressure of liquid that is shut in, against the equation of state itself and the trade's figure.

At constant density :math:`(\partial p / \partial T)_\rho = \beta / \kappa`, the thermal expansion over the isothermal
compressibility (triple product rule, textbook).  R134a, saturated at 40 C: :math:`\beta` = 3.90e-3 1/K and
:math:`\kappa` = 7.35e-9 1/Pa (CoolProp, read), so 3.90e-3 / 7.35e-9 = 5.31e5 Pa/K: 5.3 bar a kelvin.  The trade says
4 to 6 bar a kelvin (project's engineering basis, no other source) of the common refrigerants in a warm liquid line.
"""

from __future__ import annotations

import pytest
from CoolProp import PT_INPUTS, AbstractState
from CoolProp.CoolProp import PropsSI, iDmass, iP, iT

from linesizer.properties.library import load
from linesizer.solver.trapped_liquid import pressure_rise_per_kelvin
from linesizer.units import kelvin

# Steps of 1 K and 1 bar on one side: the slopes of density change by about a hundredth over each of them.
WITHIN = 0.03


def test_the_worked_example() -> None:
    """The two coefficients of the docstring, at the bubble point."""
    expansion, compressibility = (
        PropsSI(name, "T", 313.15, "Q", 0, "R134a")
        for name in ("isobaric_expansion_coefficient", "isothermal_compressibility")
    )
    assert expansion == pytest.approx(3.90e-3, abs=0.005e-3)
    assert compressibility == pytest.approx(7.35e-9, abs=0.005e-9)
    table = load("R134a")
    rise = float(pressure_rise_per_kelvin(table, table.bubble_pressure(313.15), 313.15))
    assert rise == pytest.approx(expansion / compressibility, rel=WITHIN)
    assert rise == pytest.approx(5.31e5, rel=WITHIN)


@pytest.mark.parametrize("subcooling_K", [0.0, 8.0])
@pytest.mark.parametrize("liquid_C", [-10.0, 20.0, 45.0])
@pytest.mark.parametrize(
    ("name", "fluid"), [("R134a", "R134a"), ("R32", "R32"), ("R717", "Ammonia"), ("R290", "Propane"), ("R22", "R22")]
)
def test_against_the_equation_of_state(name: str, fluid: str, liquid_C: float, subcooling_K: float) -> None:
    table, temperature = load(name), float(kelvin(liquid_C))
    pressure = float(table.bubble_pressure(temperature + subcooling_K))
    state = AbstractState("HEOS", fluid)
    state.update(PT_INPUTS, 1.0001 * pressure, temperature)
    expected = state.first_partial_deriv(iP, iT, iDmass)
    assert float(pressure_rise_per_kelvin(table, pressure, temperature)) == pytest.approx(expected, rel=WITHIN)


@pytest.mark.parametrize("name", ["R134a", "R22", "R410A", "R32", "R407C", "R513A", "R454B"])
def test_the_trades_four_to_six_bar_a_kelvin(name: str) -> None:
    table = load(name)
    rise = float(pressure_rise_per_kelvin(table, table.bubble_pressure(kelvin(45.0)), kelvin(40.0)))
    assert 4.0e5 < rise < 6.0e5
