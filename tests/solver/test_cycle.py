"""What the conditions mean: flows, states, powers, and what is refused."""

from __future__ import annotations

from typing import Any

import CoolProp
import numpy as np
import pytest
from CoolProp import AbstractState

from linesizer.domain.circuit import TemperatureBasis
from linesizer.domain.route import Line
from linesizer.errors import UserError
from linesizer.evaluate import solve
from linesizer.properties.library import load
from tests.solver.circuits import circuit, gas
from tests.solver.routes import condition, job


@pytest.mark.parametrize("bypass", [0.0, 0.2, 0.5])
@pytest.mark.parametrize("lines", [(), (gas(),)], ids=["no line", "with its line"])
def test_energy_closes_at_any_bypass(bypass: float, lines: tuple[Line, ...]) -> None:
    """Cooling = liquid's rise to the evaporator's outlet less the hot gas; all heat in leaves in the condenser."""
    one = condition(bypass=bypass, suction_heat_K=4.0)
    found = circuit(*lines, conditions=[one]).conditions
    table = load("R134a")
    outlet_K = float(table.dew_temperature(found.evaporating_Pa[0])) + 8.0
    outlet, suction = (
        float(table.vapour_pt(found.evaporating_Pa[0], at).enthalpy_J_kg) for at in (outlet_K, outlet_K + 4.0)
    )
    line, compressor = found.mass_flow_kg_s[0], found.compressor_flow_kg_s[0]
    hot, cold = found.discharge_J_kg[0], found.liquid_J_kg[0]
    assert compressor * (1.0 - bypass) == pytest.approx(line, rel=1e-12)
    cooling_W = line * (outlet - cold) - bypass * compressor * (hot - outlet)
    assert cooling_W == pytest.approx(60e3, rel=1e-9)
    gained_W = compressor * (suction - outlet)
    assert found.compressor_W[0] == pytest.approx(compressor * (hot - suction), rel=1e-9)
    assert 60e3 + gained_W + found.compressor_W[0] == pytest.approx(found.heat_rejection_W[0], rel=1e-9)
    assert found.electric_W[0] == pytest.approx(found.compressor_W[0] / 0.92, rel=1e-12)


def test_bypass_by_hand() -> None:
    """Round enthalpies of R134a, -5 / 45 C: the balance m = Q / [(h2 - h3) - (h2 - h1) / (1 - b)] at b = 0.25."""
    found = circuit(conditions=[condition(bypass=0.25)]).conditions
    state = AbstractState("HEOS", "R134a")

    def enthalpy(pair: int, one: float, two: float) -> float:
        state.update(pair, one, two)
        return float(state.hmass())

    state.update(CoolProp.QT_INPUTS, 1.0, 268.15)
    evaporating = state.p()
    state.update(CoolProp.QT_INPUTS, 1.0, 318.15)
    condensing = state.p()
    outlet = enthalpy(CoolProp.PT_INPUTS, evaporating, 276.15)
    entropy = state.smass()
    ideal = enthalpy(CoolProp.PSmass_INPUTS, condensing, entropy)
    hot = outlet + (ideal - outlet) / 0.68
    cold = enthalpy(CoolProp.PT_INPUTS, condensing, 312.15)
    line = 60e3 / ((hot - cold) - (hot - outlet) / 0.75)
    assert found.mass_flow_kg_s[0] == pytest.approx(line, rel=5e-4)
    assert found.compressor_flow_kg_s[0] == pytest.approx(line / 0.75, rel=5e-4)


def test_a_stated_discharge_temperature_holds_at_the_pressure_there() -> None:
    found = circuit(gas(size="7/8"), conditions=[condition(discharge_C=88.0), condition("free")])
    conditions = found.conditions
    assert conditions.discharge_C[0] == pytest.approx(88.0, abs=2e-3)
    assert abs(conditions.discharge_C[1] - 88.0) > 1.0
    assert conditions.discharge_Pa[0] > conditions.condensing_Pa[0] + 5e4
    expected = load("R134a").vapour_pt(conditions.discharge_Pa[0], 361.15).enthalpy_J_kg
    assert conditions.discharge_J_kg[0] == pytest.approx(float(expected), rel=1e-5)


def test_all_conditions_with_a_stated_discharge_temperature() -> None:
    both = [condition("a", discharge_C=88.0), condition("b", discharge_C=75.0)]
    np.testing.assert_allclose(circuit(gas(), conditions=both).conditions.discharge_C, [88.0, 75.0], atol=2e-3)


def test_midpoint_temperatures_of_a_blend() -> None:
    """R407C, pseudo-pure: the pressure at which the mean of bubble and dew temperature is what was stated."""
    state = AbstractState("HEOS", "R407C")
    found = circuit(refrigerant="R407C", temperature_basis=TemperatureBasis.MIDPOINT).conditions
    for pressure, stated in ((found.evaporating_Pa[0], 268.15), (found.condensing_Pa[0], 318.15)):
        temperatures = []
        for quality in (0.0, 1.0):
            state.update(CoolProp.PQ_INPUTS, pressure, quality)
            temperatures.append(state.T())
        assert sum(temperatures) / 2.0 == pytest.approx(stated, abs=1e-3)
    dew = circuit(refrigerant="R407C").conditions
    assert found.condensing_Pa[0] > 1.05 * dew.condensing_Pa[0]


def test_midpoint_is_the_dew_point_of_a_pure_refrigerant() -> None:
    plain, midpoint = (circuit(temperature_basis=basis).conditions for basis in TemperatureBasis)
    np.testing.assert_allclose(plain.condensing_Pa, midpoint.condensing_Pa, rtol=1e-5)


def test_leaving_fluid_and_approach_are_an_evaporating_temperature() -> None:
    entered = condition(leaving_fluid_C=2.5, approach_K=7.5)
    assert entered.evaporating_C is None
    expected, found = circuit(conditions=[condition()]).conditions, circuit(conditions=[entered]).conditions
    assert found.evaporating_Pa[0] == expected.evaporating_Pa[0]
    assert found.mass_flow_kg_s[0] == expected.mass_flow_kg_s[0]


def test_a_conditions_own_efficiency_goes_before_the_compressors() -> None:
    both = circuit(conditions=[condition("a"), condition("b", isentropic_efficiency=0.8)]).conditions
    assert both.compressor_W[1] == pytest.approx(both.compressor_W[0] * 0.68 / 0.8, rel=1e-6)


@pytest.mark.parametrize(
    ("code", "changes"),
    [
        ("CYCLE-01", {"bypass": 0.9}),
        ("CYCLE-03", {"isentropic_efficiency": 0.2}),
        ("CYCLE-04", {"subcooling_K": 100.0}),
        ("PROP-04", {"superheat_K": 150.0}),
        ("PROP-04", {"superheat_K": 80.0, "suction_heat_K": 60.0}),
        ("PROP-04", {"discharge_C": 30.0}),
        ("PROP-04", {"discharge_C": 240.0}),
        ("PROP-02", {"condensing_C": 110.0}),
        ("PROP-03", {"evaporating_C": -70.0}),
    ],
)
def test_what_the_table_does_not_reach_is_refused_by_name(code: str, changes: dict[str, Any]) -> None:
    with pytest.raises(UserError) as caught:
        circuit(gas(), conditions=[condition("fine"), condition("k2", name="Winter night", **changes)])
    assert caught.value.code == code
    assert "Winter night" in str(caught.value)


def test_neither_evaporating_nor_leaving_fluid_is_refused() -> None:
    with pytest.raises(UserError) as caught:
        solve(job(conditions=[condition(leaving_fluid_C=None)]))
    assert caught.value.code == "CYCLE-02"
