"""A whole circuit: what hangs together, and what a blocked line leaves open."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from linesizer.domain.circuit import Circuit
from linesizer.domain.route import Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.units import atmospheric_pressure_Pa
from tests.solver.circuits import circuit, condenser, gas, liquid
from tests.solver.routes import ORIGIN, chain, condition, job


def test_the_film_is_lighter_for_mineral_oil_with_ammonia() -> None:
    def ratio(**changes: Any) -> float:
        legs = circuit(gas(tube="ASME-B36.10-40", size="1-1/2"), refrigerant="R717", **changes).lines[0].legs
        assert legs is not None
        assert np.isnan(legs.oil_return_ratio[1, 0])
        return float(legs.oil_return_ratio[0, 0])

    assert ratio(oil="MO") > 1.04 * ratio(oil="PAO")
    assert ratio(film_density_kg_m3=850.0) == pytest.approx(ratio(oil="mineral"), rel=1e-12)


def test_a_leg_is_judged_by_oil_return_above_one_in_fifty() -> None:
    points = [ORIGIN, (10.0, 0.0, 0.19), (20.0, 0.0, 0.41), (20.0, 0.0, -3.0)]
    legs = circuit(chain(points)).lines[0].legs
    assert legs is not None
    assert legs.climbs.tolist() == [False, True, False]
    assert np.isfinite(legs.oil_return_ratio[1, 0])
    assert legs.minimum_velocity_m_s[1, 0] * legs.oil_return_ratio[1, 0] == pytest.approx(legs.velocity_m_s[1, 0])
    flowing = circuit(chain(points, Service.LIQUID)).lines[0].legs
    assert flowing is not None
    assert not flowing.climbs.any()


def test_the_design_pressure_is_gauge_by_the_altitude() -> None:
    def demand(**changes: Any) -> float:
        found = circuit(gas(size="4-1/8"), refrigerant="R410A", **changes)
        (short,) = (finding for finding in found.findings if finding.code == "rating_short" and finding.leg == "l0")
        assert short.limit is not None
        return short.limit

    bubble = float(load("R410A").bubble_pressure(328.15))
    assert demand() == pytest.approx(bubble - 101325.0, rel=1e-6)
    assert demand(altitude_m=2000.0) == pytest.approx(bubble - float(atmospheric_pressure_Pa(2000.0)), rel=1e-6)
    assert demand(maximum_pressure_Pa=4.2e6) == pytest.approx(4.2e6 - 101325.0, rel=1e-9)


def test_several_lines_of_a_service() -> None:
    """The compressor works against the discharge line that asks most; every liquid line starts alike."""
    wide, narrow = gas(id="wide", size="2-1/8"), gas(id="narrow", size="7/8")
    found = circuit(wide, narrow, liquid(id="a"), liquid(id="b", size="1-1/8"))
    flows = {line.line.id: line.flow for line in found.lines}
    assert found.conditions.discharge_Pa[0] == flows["narrow"].inlet_Pa[0] > flows["wide"].inlet_Pa[0]  # type: ignore[union-attr]
    assert flows["wide"].outlet_Pa[0] == flows["narrow"].outlet_Pa[0] == found.conditions.condensing_Pa[0]  # type: ignore[union-attr]
    assert flows["a"].inlet_Pa[0] == flows["b"].inlet_Pa[0] == found.conditions.liquid_Pa[0]  # type: ignore[union-attr]


def test_a_line_that_cannot_pass_the_flow_leaves_open_what_hangs_on_it() -> None:
    """The other condition, the flow and the liquid line do not suffer."""
    conditions = [condition("full", capacity_W=400e3), condition("low", capacity_W=4e3)]
    result = solve(job(gas(size="1/2"), liquid(), conditions=conditions))
    found = result.circuits[0]
    flow, other = found.lines[0].flow, found.lines[1].flow
    assert flow is not None
    assert other is not None
    assert flow.passes_flow.tolist() == [False, True]
    for name in ("drop_Pa", "saturation_penalty_K", "inlet_Pa", "outlet_C", "charge_kg"):
        assert np.isfinite(getattr(flow, name)).tolist() == [False, True], name
    for name in ("discharge_C", "discharge_Pa", "discharge_J_kg", "compressor_W", "electric_W", "heat_rejection_W"):
        assert np.isfinite(getattr(found.conditions, name)).tolist() == [False, True], name
    assert np.isfinite(found.conditions.mass_flow_kg_s).all()
    assert np.isfinite(other.drop_Pa).all() == other.passes_flow.all()
    row = json.loads(json.dumps(result.as_dict(), allow_nan=False))
    assert row["circuits"][0]["conditions"][0]["compressor_W"] is None
    assert "flow_does_not_pass" in {finding.code for finding in found.findings}


def test_where_a_line_cannot_pass_the_flow_it_is_that_of_a_compressor_without_it() -> None:
    """Flow and liquid hang on the discharge gas through a bypass, and on each other through the condenser's drop."""
    changes: dict[str, Any] = {
        "conditions": [condition(bypass=0.5)],
        "equipment": (condenser(drop_Pa=40e3, at_kg_s=0.5),),
    }
    blocked = circuit(gas(size="3/8"), liquid(), **changes)
    alone = circuit(liquid(), **changes)
    assert blocked.lines[0].flow is not None
    assert not blocked.lines[0].flow.passes_flow.any()
    assert blocked.conditions.mass_flow_kg_s[0] == alone.conditions.mass_flow_kg_s[0]
    assert blocked.conditions.liquid_Pa[0] == alone.conditions.liquid_Pa[0] < alone.conditions.condensing_Pa[0]
    assert blocked.conditions.compressor_flow_kg_s[0] == alone.conditions.compressor_flow_kg_s[0]
    assert blocked.lines[1].flow.drop_Pa[0] == alone.lines[0].flow.drop_Pa[0]  # type: ignore[union-attr]


def test_hot_gas_that_a_drop_heats_beyond_all_cooling_is_a_flow_that_does_not_pass() -> None:
    """At 0.7 of bypass some cooling is left against the condensing pressure, none against what a small tube asks."""
    found = circuit(gas(size="4-1/8"), conditions=[condition(bypass=0.7, evaporating_C=2.0)])
    assert found.lines[0].flow is not None
    assert found.lines[0].flow.passes_flow.all()
    assert found.lines[0].sweep is not None
    assert found.lines[0].sweep.excluded_by[0] == "flow_does_not_pass"


def test_a_job_of_several_circuits_keeps_them_apart() -> None:
    first = job(gas(), liquid())
    second = Circuit("c2", "R410A", (condition(),), lines=(gas(),))
    both = solve(type(first)((*first.circuits, second)))
    assert [found.circuit.id for found in both.circuits] == ["c1", "c2"]
    assert both.circuits[0].conditions.condensing_Pa[0] == circuit(gas()).conditions.condensing_Pa[0]
    assert {finding.circuit for finding in both.findings} <= {"c1", "c2"}
