"""Long lines of one size taken together in few pieces: the same totals, and the same gas at every node."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.catalog.fittings import LossMethod
from linesizer.catalog.practice import practice_set
from linesizer.domain.part import Part
from linesizer.domain.route import Point, Service
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.solver.line import Run, solve_line
from linesizer.solver.march import Known
from linesizer.solver.merged_run import MergedRun, merged
from linesizer.solver.phase import Phase, liquid, vapour
from linesizer.solver.route_losses import line_run
from tests.solver.routes import chain, condition, job

TABLE = load("R134a")


def staircase(legs: int) -> list[Point]:
    points: list[Point] = [(0.0, 0.0, 0.0)]
    for number in range(legs):
        east, north, up = points[-1]
        points.append([(east + 2.0, north, up), (east, north + 1.0, up), (east, north, up + 0.7)][number % 3])
    return points


def run(legs: int) -> Run:
    line = chain(staircase(legs), parts={3: [Part("p", "ball_valve")], legs // 2: [Part("q", "muffler")]})
    return line_run(line, practice_set("general"), 0.5, LossMethod.THREE_K)


@pytest.mark.parametrize("phase", [vapour(TABLE), liquid(TABLE)], ids=["vapour", "liquid"])
@pytest.mark.parametrize("bore", [0.032, 0.038])
def test_few_pieces_give_what_all_legs_give(phase: Phase, bore: float) -> None:
    """Both march the same balance; the mean of two densities over a longer piece is off by a square of its change."""
    whole = run(60)
    short = merged(whole, 8)
    assert short is not None
    assert len(short.run.length_m) == 8
    for total in ("length_m", "rise_m"):
        assert getattr(short.run, total).sum() == pytest.approx(getattr(whole, total).sum(), rel=1e-12)
    pressure = np.array([1.2e6])
    warm = phase.saturation_temperature(pressure)
    state = TABLE.vapour_pt(pressure, warm + 25.0) if phase.name == "vapour" else TABLE.liquid_pt(pressure, warm - 12.0)
    solved = [
        solve_line(
            one,
            phase,
            bore=np.array([[bore]]),
            roughness=np.array([[1.5e-6]]),
            mass_flow=np.array([0.45]),
            enthalpy=state.enthalpy_J_kg,
            known_pressure=pressure,
            known=Known.START,
            cut=False,
        )
        for one in (whole, short.run)
    ]
    full, few = solved
    drop = full.pressure_Pa[0] - full.pressure_Pa[-1]
    assert few.pressure_Pa[0] - few.pressure_Pa[-1] == pytest.approx(drop, rel=1e-3)
    # The column weighs what the gas at its height does; parts that count over a piece shift that by a little.
    assert few.terms.static_Pa.sum() == pytest.approx(full.terms.static_Pa.sum(), rel=1e-2)
    found = short.densities(few.pressure_Pa, few.density_kg_m3)
    assert found.shape == full.density_kg_m3.shape
    # Parts stand at one place but count over their piece: their drop, some kPa of 1.2 MPa, is the most it can be off.
    assert found == pytest.approx(full.density_kg_m3, rel=5e-3)
    assert found[0] == pytest.approx(full.density_kg_m3[0], rel=1e-9)


def test_the_column_counts_where_it_stands() -> None:
    """By hand: 10 m up, then 30 m level; of 10 kPa 4903 Pa are the column of 50 kg/m3, the rest goes by length."""
    whole = run(60)
    one = replace(whole, length_m=np.array([40.0]), rise_m=np.array([10.0]))
    piece = MergedRun(one, np.array([0, 0, 0]), np.array([0.0, 0.25, 1.0]), np.array([0.0, 10.0, 10.0]))
    pressure, density = np.array([[1.01e6], [1.0e6]]), np.array([[50.5], [49.5]])
    column = 50.0 * 9.80665 * 10.0
    at_the_top = 50.5 - (column + 0.25 * (1e4 - column)) / 1e4
    assert piece.densities(pressure, density)[:, 0] == pytest.approx([50.5, at_the_top, 49.5], rel=1e-12)


def test_short_lines_and_double_risers_stay_as_they_are() -> None:
    assert merged(run(15), 8) is None
    shared = replace(run(60), shares=np.full((60, 1), 0.5))
    assert merged(shared, 8) is None


def test_the_size_table_of_a_long_line_is_that_of_the_line_drawn_in_each_size() -> None:
    """The row of a size against the same line drawn in it, leg by leg and finely cut: half a per cent."""
    conditions = (condition("full"), condition("part", capacity_W=30e3, condensing_C=38.0))
    for service, size in ((Service.DISCHARGE, "1-5/8"), (Service.LIQUID, "1-1/8")):
        points = staircase(60) if service is Service.DISCHARGE else staircase(60)[::-1]
        (result,) = solve(job(chain(points, service, size=size), conditions=conditions)).circuits[0].lines
        sweep, flow, legs = result.sweep, result.flow, result.legs
        assert sweep is not None
        assert flow is not None
        assert legs is not None
        at = sweep.sizes.index(size)
        assert sweep.pressure_drop_Pa[at] == pytest.approx(flow.drop_Pa.max(), rel=5e-3)
        assert sweep.saturation_penalty_K[at] == pytest.approx(flow.saturation_penalty_K.max(), rel=5e-3)
        assert sweep.charge_kg[at] == pytest.approx(flow.charge_kg.max(), rel=1e-3)
        assert sweep.velocity_m_s[at] == pytest.approx(legs.velocity_m_s.max(), rel=2e-3)
        if service is Service.DISCHARGE:
            ratios = np.concatenate([legs.oil_return_ratio, legs.corner_ratio], axis=1)
            assert sweep.oil_return_ratio[at] == pytest.approx(np.nanmin(ratios), rel=2e-3)
