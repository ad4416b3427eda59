"""The charge of a circuit by hand."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.evaluate import solve
from linesizer.properties.library import load
from tests.solver.circuits import circuit, condenser, gas, liquid, receiver
from tests.solver.routes import condition, job


def equipment() -> tuple[Equipment, ...]:
    return (
        Equipment("unit", Role.UNIT, operating_kg=4.0, holds_kg=1.5),
        condenser(volume_m3=0.03, mean_liquid_fraction=0.2),
        receiver(kind=ReceiverKind.SURGE, volume_m3=0.05, operating_fill=0.3),
    )


def test_the_charge_by_hand() -> None:
    conditions = [condition("full"), condition("low", capacity_W=20e3, condensing_C=30.0)]
    found = circuit(gas(), liquid(), conditions=conditions, equipment=equipment())
    table, charge = load("R134a"), found.charge
    per_condition = np.zeros(2)
    for line in found.lines:
        assert line.legs is not None
        assert line.flow is not None
        area = 0.25 * np.pi * line.legs.inner_diameter_m**2
        per_condition += ((area * line.legs.length_m)[:, None] * line.legs.density_kg_m3).sum(axis=0)
        np.testing.assert_allclose(line.flow.charge_kg, line.legs.charge_kg.sum(axis=0), rtol=1e-12)
    at = found.conditions.condensing_Pa
    heavy, light = table.saturated_liquid(at).density_kg_m3, table.saturated_vapour(at).density_kg_m3
    vessels = 4.0 + 0.03 * (0.2 * heavy + 0.8 * light) + 0.05 * (0.3 * heavy + 0.7 * light)
    needed = per_condition + vessels
    # Liquid is denser when it is colder.
    assert needed.argmax() == 1
    assert charge.condition == "low"
    assert charge.lines_kg == pytest.approx(per_condition[1], rel=1e-9)
    assert charge.equipment_kg == pytest.approx(vessels[1], rel=1e-9)
    assert charge.total_kg == pytest.approx(needed[1], rel=1e-9)
    assert charge.held_kg == 1.5
    assert charge.to_add_kg == pytest.approx(needed[1] - 1.5, rel=1e-9)
    assert charge.flooding_kg == 0.0
    # Quadrature of 3 % of the lines, 10 % of the equipment and liquid 5 K colder.
    colder, there = (
        float(table.liquid_pt(found.conditions.liquid_Pa[1], found.conditions.liquid_C[1] + 273.15 - by).density_kg_m3)
        for by in (5.0, 0.0)
    )
    liquid_kg = found.lines[1].flow.charge_kg[1]  # type: ignore[union-attr]
    terms = 0.03 * per_condition[1], 0.1 * vessels[1], liquid_kg * (colder / there - 1.0)
    band = float(np.sqrt(sum(term**2 for term in terms)))
    assert charge.high_kg == pytest.approx(needed[1] + band, rel=1e-6)
    assert charge.low_kg == pytest.approx(needed[1] - band, rel=1e-6)


def test_the_charge_at_the_condition_that_the_circuit_names() -> None:
    conditions = [condition("full"), condition("low", capacity_W=20e3, condensing_C=30.0)]
    found = circuit(gas(), liquid(), conditions=conditions, equipment=equipment(), charge_condition="full")
    assert found.charge.condition == "full"
    row = solve(job(gas(), liquid(), conditions=conditions, equipment=equipment(), charge_condition="full")).as_dict()
    assert row["circuits"][0]["charge"]["condition"] == "full"
    flow = found.lines[1].flow
    assert flow is not None
    assert row["circuits"][0]["lines"][1]["charge_kg"] == flow.charge_kg[0] != flow.charge_kg[1]


def test_what_is_held_beyond_the_need_is_not_added() -> None:
    holds = Equipment("unit", Role.UNIT, operating_kg=4.0, holds_kg=50.0)
    assert circuit(gas(), liquid(), equipment=(holds,)).charge.to_add_kg == 0.0
