"""Where the liquid line starts: condenser, receiver, subcooling; and what it comes to at its end."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, ReceiverKind
from linesizer.domain.route import Service
from linesizer.properties.library import load
from linesizer.solver.static_head import GRAVITY
from tests.solver.circuits import circuit, condenser, liquid, receiver
from tests.solver.routes import ORIGIN, chain, condition


def test_the_condensers_own_drop_goes_with_the_flow_squared() -> None:
    conditions = [condition("full"), condition("low", capacity_W=30e3)]
    found = circuit(liquid(), conditions=conditions, equipment=(condenser(drop_Pa=40e3, at_kg_s=0.5),)).conditions
    drop = found.condensing_Pa - found.liquid_Pa
    np.testing.assert_allclose(drop, 40e3 * (found.mass_flow_kg_s / 0.5) ** 2, rtol=1e-6)
    # The stated subcooling is below the bubble point of the pressure that is left.
    bubble_C = load("R134a").bubble_temperature(found.liquid_Pa) - 273.15
    np.testing.assert_allclose(bubble_C - found.liquid_C, 6.0, atol=1e-6)


def test_a_constant_drop_of_the_condenser_and_none() -> None:
    stated = circuit(liquid(), equipment=(condenser(drop_Pa=25e3),)).conditions
    assert stated.condensing_Pa[0] - stated.liquid_Pa[0] == pytest.approx(25e3, rel=1e-9)
    assert circuit(liquid(), equipment=(condenser(),)).conditions.liquid_Pa[0] == stated.condensing_Pa[0]


def test_liquid_is_saturated_behind_a_through_receiver() -> None:
    stated = circuit(liquid(), equipment=(receiver(), condenser(drop_Pa=25e3)))
    bubble_C = float(load("R134a").bubble_temperature(stated.conditions.liquid_Pa[0])) - 273.15
    assert stated.conditions.liquid_C[0] == pytest.approx(bubble_C, abs=1e-6)
    flow = stated.lines[0].flow
    assert flow is not None
    plain = circuit(liquid(), equipment=(condenser(drop_Pa=25e3),)).lines[0].flow
    assert plain is not None
    assert plain.outlet_subcooling_K[0] - flow.outlet_subcooling_K[0] == pytest.approx(6.0, abs=0.2)


@pytest.mark.parametrize(
    ("equipment", "at"),
    [
        (receiver(kind=ReceiverKind.SURGE), SubcoolingAt.CONDENSER),
        (receiver(), SubcoolingAt.LIQUID_LINE),
    ],
    ids=["surge receiver", "stated at the liquid line"],
)
def test_liquid_keeps_its_subcooling_otherwise(equipment: Equipment, at: SubcoolingAt) -> None:
    found = circuit(liquid(), conditions=[condition(subcooling_at=at)], equipment=(equipment,)).conditions
    assert found.liquid_C[0] == pytest.approx(39.0, abs=1e-3)


def test_the_liquids_pressure_and_subcooling_along_a_falling_line() -> None:
    """5 m of fall give the column of liquid back as pressure and as subcooling."""
    flow = circuit(liquid(size="2-1/8")).lines[0].flow
    assert flow is not None
    table = load("R134a")
    density = float(table.liquid_pt(flow.inlet_Pa[0], 312.15).density_kg_m3)
    assert flow.static_Pa[0] == pytest.approx(-density * GRAVITY * 5.0, rel=1e-3)
    assert flow.outlet_subcooling_K[0] > 6.0
    assert flow.outlet_vapour_fraction[0] == 0.0


def test_liquid_that_boils_shows_by_how_much() -> None:
    """Saturated liquid 12 m up: the fraction of vapour from the enthalpy, the temperature between bubble and dew."""
    climbing = chain([ORIGIN, (0.0, 0.0, 12.0)], Service.LIQUID, size="1-1/8")
    found = circuit(climbing, conditions=[condition(subcooling_K=0.0)], refrigerant="R407C")
    flow = found.lines[0].flow
    assert flow is not None
    table = load("R407C")
    assert flow.outlet_subcooling_K[0] < -1.0
    enthalpy = found.conditions.liquid_J_kg[0]
    bubble, dew = (
        float(state(flow.outlet_Pa[0]).enthalpy_J_kg) for state in (table.saturated_liquid, table.saturated_vapour)
    )
    fraction = (enthalpy - bubble) / (dew - bubble)
    assert 0.0 < fraction < 0.1
    assert flow.outlet_vapour_fraction[0] == pytest.approx(fraction, rel=1e-9)
    low, high = (float(line(flow.outlet_Pa[0])) - 273.15 for line in (table.bubble_temperature, table.dew_temperature))
    assert low < flow.outlet_C[0] < high
