"""The charge of a circuit by hand."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.domain.charge_result import BandSource
from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.route import Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from tests.solver.circuits import DOWN, circuit, condenser, gas, liquid, receiver
from tests.solver.routes import chain, condition, job


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
    # Quadrature of 3 % of the lines, twice 1 % of them for the bore, 10 % of the equipment and liquid 5 K colder.
    colder, there = (
        float(table.liquid_pt(found.conditions.liquid_Pa[1], found.conditions.liquid_C[1] + 273.15 - by).density_kg_m3)
        for by in (5.0, 0.0)
    )
    liquid_kg = found.lines[1].flow.charge_kg[1]  # type: ignore[union-attr]
    terms = {
        BandSource.LENGTH: 0.03 * per_condition[1],
        BandSource.BORE: 0.02 * per_condition[1],
        BandSource.LIQUID_TEMPERATURE: liquid_kg * (colder / there - 1.0),
        BandSource.EQUIPMENT: 0.1 * vessels[1],
    }
    assert {term.source: term.kg for term in charge.band_terms} == pytest.approx(terms, rel=1e-9)
    assert charge.largest_band_term is not None
    assert charge.largest_band_term.source is BandSource.EQUIPMENT
    band = float(np.sqrt(sum(term**2 for term in terms.values())))
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


def test_every_piece_of_equipment_has_its_charge_at_every_condition() -> None:
    conditions = [condition("full"), condition("low", capacity_W=20e3, condensing_C=30.0)]
    pieces = (*equipment(), Equipment("sub", Role.SUBCOOLER))
    found = circuit(gas(), liquid(), conditions=conditions, equipment=pieces)
    unit, cond, vessel, unstated = found.charge.equipment
    assert unit.kg is not None
    assert cond.kg is not None
    assert vessel.kg is not None
    table, at = load("R134a"), found.conditions.condensing_Pa
    heavy, light = table.saturated_liquid(at).density_kg_m3, table.saturated_vapour(at).density_kg_m3
    assert unit.kg.tolist() == [4.0, 4.0]
    np.testing.assert_allclose(cond.kg, 0.03 * (0.2 * heavy + 0.8 * light), rtol=1e-12)
    np.testing.assert_allclose(vessel.kg, 0.05 * (0.3 * heavy + 0.7 * light), rtol=1e-12)
    assert (unstated.id, unstated.kg) == ("sub", None)
    np.testing.assert_allclose(found.charge.by_condition.equipment_kg, unit.kg + cond.kg + vessel.kg, rtol=1e-12)


def test_the_rows_of_every_condition() -> None:
    conditions = [condition("full"), condition("low", capacity_W=20e3, condensing_C=30.0)]
    made = job(gas(), liquid(), conditions=conditions, equipment=equipment())
    result = solve(made)
    charge = result.circuits[0].charge
    row = result.as_dict()["circuits"][0]["charge"]
    assert [needed["id"] for needed in row["by_condition"]] == ["full", "low"]
    for key in ("lines_kg", "equipment_kg", "flooding_kg", "total_kg"):
        assert row["by_condition"][1][key] == row[key]
    assert row["by_condition"][0]["total_kg"] == charge.by_condition.total_kg[0]
    assert row["largest_band_term"] == "equipment"
    assert sum(term["kg"] ** 2 for term in row["band_terms"]) ** 0.5 == pytest.approx(row["high_kg"] - row["total_kg"])
    assert [item["id"] for item in row["equipment"]] == ["unit", "cond", "rec"]
    assert row["equipment"][1]["charge_kg"] == row["equipment"][1]["by_condition"][1]["charge_kg"]
    assert row["condensers"] == []
    (level,) = row["receivers"]
    assert [fill["id"] for fill in level["by_condition"]] == ["full", "low"]
    assert level["by_condition"][1]["fill"] == pytest.approx(0.3)
    assert level["summer_fill"] == pytest.approx(level["by_condition"][0]["fill"])


def test_a_line_that_is_not_calculated_leaves_lines_and_total_open() -> None:
    charge = circuit(gas(), liquid(), chain(DOWN, Service.SUCTION), equipment=equipment()).charge
    assert charge.lines_kg is charge.total_kg is charge.high_kg is None
    assert charge.equipment_kg is not None
    assert charge.band_terms == ()
    assert charge.receivers == ()
