"""A line cut in two, or drawn in other pieces, gives up the same heat and the same pressure."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.domain.result import CircuitResult, LegResult, LineFlow
from linesizer.domain.route import DoubleRiser, Line, Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from tests.solver.routes import chain, condition, job

COLD = [condition("full", ambient_C=-15.0), condition("low", capacity_W=20e3, condensing_C=32.0, ambient_C=-15.0)]
END = (30.0, 0.0, 9.0)


def straight(parts: int, service: Service, insulation_m: float) -> Line:
    points = [tuple(float(place) * number / parts for place in END) for number in range(parts + 1)]
    line = chain(points, service, size="1-3/8" if service is Service.DISCHARGE else "7/8")
    legs = tuple(replace(leg, place="outdoor", insulation_m=insulation_m) for leg in line.legs)
    return replace(line, legs=legs)


def solved(line: Line) -> tuple[CircuitResult, LineFlow, LegResult]:
    found = solve(job(line, conditions=COLD, heat_exchange=True)).circuits[0]
    flow, legs = found.lines[0].flow, found.lines[0].legs
    assert flow is not None
    assert legs is not None
    return found, flow, legs


@pytest.mark.parametrize("service", [Service.DISCHARGE, Service.LIQUID])
@pytest.mark.parametrize("insulation_m", [0.0, 0.013])
def test_a_leg_cut_in_pieces_gives_up_the_same(service: Service, insulation_m: float) -> None:
    """The bounds of the design: 0.3 % of a drop, 0.5 % of a change of temperature."""
    whole, one, _ = solved(straight(1, service, insulation_m))
    for parts in (2, 7):
        found, many, legs = solved(straight(parts, service, insulation_m))
        np.testing.assert_allclose(many.drop_Pa, one.drop_Pa, rtol=0.003)
        np.testing.assert_allclose(many.heat_W, one.heat_W, rtol=0.005)
        start = whole.conditions.discharge_C if service is Service.DISCHARGE else whole.conditions.liquid_C
        change = np.abs(one.outlet_C - start)
        assert (np.abs(many.outlet_C - one.outlet_C) <= 0.005 * change + 1e-3).all()
        # Gas that condenses in one leg grows denser in a bend that the mean of its two ends does not see.
        keeps = np.isnan(one.turns_at_m)
        np.testing.assert_allclose(many.charge_kg[keeps], one.charge_kg[keeps], rtol=0.005)
        np.testing.assert_allclose(found.conditions.mass_flow_kg_s, whole.conditions.mass_flow_kg_s, rtol=5e-4)
        # Each leg starts where the one before ends.
        np.testing.assert_allclose(legs.start_C[1:], legs.end_C[:-1], atol=1e-9)
        np.testing.assert_allclose(legs.end_C[-1], many.outlet_C, atol=1e-6)
        if np.isfinite(one.turns_at_m).any():
            np.testing.assert_allclose(many.turns_at_m, one.turns_at_m, rtol=0.01)


def test_the_heat_of_the_legs_is_that_of_the_line() -> None:
    """m (h at its start - h at its end), which the table has for temperature and pressure at both ends."""
    found, flow, legs = solved(straight(4, Service.DISCHARGE, 0.013))
    table = load("R134a")
    ends = [
        table.vapour_pt(at, celsius + 273.15).enthalpy_J_kg
        for at, celsius in ((legs.inlet_Pa[0], legs.start_C[0]), (legs.outlet_Pa[-1], legs.end_C[-1]))
    ]
    np.testing.assert_allclose(found.conditions.mass_flow_kg_s * (ends[0] - ends[1]), flow.heat_W, rtol=1e-3)


def test_a_double_riser_in_the_cold_cools_over_both_tubes() -> None:
    """Its surface is that of both; twice the way up gives about twice the heat."""

    def riser(height_m: float) -> LineFlow:
        line = chain([(0.0, 0.0, 0.0), (0.0, 0.0, height_m)])
        leg = replace(line.legs[0], size=None, place="outdoor", double_riser=DoubleRiser("7/8", "1-3/8", 1.0))
        return solved(replace(line, legs=(leg,)))[1]

    short, tall = riser(3.0), riser(6.0)
    single = solved(
        replace(
            chain([(0.0, 0.0, 0.0), (0.0, 0.0, 3.0)], size="1-3/8"),
            legs=(replace(chain([(0.0, 0.0, 0.0), (0.0, 0.0, 3.0)], size="1-3/8").legs[0], place="outdoor"),),
        )
    )[1]
    assert tall.heat_W[0] == pytest.approx(2.0 * short.heat_W[0], rel=0.05)
    # pi D h goes with D^0.9: 2.25 in together against 1.375 in, (2.25 / 1.375)^0.9 = 1.56.
    assert short.heat_W[0] == pytest.approx(1.56 * single.heat_W[0], rel=0.06)
