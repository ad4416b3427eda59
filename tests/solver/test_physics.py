"""What holds of every line, whatever its route, tube, refrigerant and load."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from linesizer.domain.job import Job
from linesizer.domain.result import LegResult, LineFlow, Result
from linesizer.domain.route import FittingAt, Leg, Line, Node, Service
from linesizer.errors import UserError
from linesizer.evaluate import solve
from tests.solver.routes import chains, condition, job, jobs, numbers
from tests.storage.strategies import jobs as any_jobs

# An example takes some 20 ms, so shrinking one that fails would take minutes.
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
EXAMPLES = settings(max_examples=30, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
TERMS = ("friction_Pa", "fittings_Pa", "parts_Pa", "acceleration_Pa", "static_Pa")
GASES = st.sampled_from(["R134a", "R410A", "R407C", "R32", "R717"])
SERVICES = st.sampled_from([Service.DISCHARGE, Service.LIQUID])


def solved(line: Line, refrigerant: str, *capacities_W: float) -> tuple[LegResult, LineFlow]:
    """Solve one line; examples whose flow does not pass are not looked at."""
    conditions = [condition(f"k{index}", capacity_W=capacity) for index, capacity in enumerate(capacities_W)]
    found = solve(job(line, refrigerant=refrigerant, conditions=conditions)).circuits[0].lines[0]
    assert found.flow is not None
    assert found.legs is not None
    assume(found.flow.passes_flow.all())
    return found.legs, found.flow


def lost(flow: LineFlow) -> np.ndarray:
    """Return the drop without column and momentum: where a tube widens, the flow gives pressure back."""
    return flow.drop_Pa - flow.static_Pa - flow.acceleration_Pa


@st.composite
def lines(draw: st.DrawFn) -> Line:
    return draw(chains(draw(SERVICES), "line"))


@EXAMPLES
@given(lines(), GASES, numbers(2e3, 1e5), numbers(1.01, 2.0))
def test_the_drop_grows_with_the_flow(line: Line, refrigerant: str, capacity_W: float, factor: float) -> None:
    _, flow = solved(line, refrigerant, capacity_W, capacity_W * factor)
    assert lost(flow)[1] > lost(flow)[0]


@EXAMPLES
@given(lines(), GASES, numbers(2e3, 1e5), numbers(0.2, 20.0))
def test_the_drop_grows_with_the_length(line: Line, refrigerant: str, capacity_W: float, more_m: float) -> None:
    """A level stretch before the first leg, from the west, so that no bend changes with its length."""

    def led_in(length_m: float) -> Line:
        first = Leg("lead", "west", "n0", size=line.legs[0].size)
        nodes = (Node("west", (-length_m, 0.0, 0.0)), *line.nodes)
        return replace(line, nodes=nodes, legs=(first, *line.legs))

    _, short = solved(led_in(1.0), refrigerant, capacity_W)
    _, long = solved(led_in(1.0 + more_m), refrigerant, capacity_W)
    assert lost(long)[0] > lost(short)[0]


@EXAMPLES
@given(lines(), GASES, numbers(2e3, 1e5))
def test_the_drop_falls_with_the_bore(line: Line, refrigerant: str, capacity_W: float) -> None:
    sweep = solve(job(line, refrigerant=refrigerant, conditions=[condition(capacity_W=capacity_W)]))
    rows = sweep.circuits[0].lines[0].sweep
    assert rows is not None
    penalty = rows.saturation_penalty_K[np.isfinite(rows.saturation_penalty_K)]
    # Drops that are stated outright do not depend on the bore.
    assert (np.diff(penalty) <= 1e-6 * penalty[:-1]).all()
    assert np.isnan(rows.saturation_penalty_K[: len(rows.sizes) - len(penalty)]).all()


def halved(line: Line, index: int, part: float) -> Line:
    """Return the line with one more node on a leg; the leg's parts stay on its first piece."""
    leg = line.legs[index]
    start, end = line.nodes[index].at_m, line.nodes[index + 1].at_m
    between = tuple(a + part * (b - a) for a, b in zip(start, end, strict=True))
    first = replace(leg, end="between")
    second = Leg("second", "between", leg.end, size=leg.size)
    nodes = (*line.nodes[: index + 1], Node("between", between), *line.nodes[index + 1 :])  # type: ignore[arg-type]
    return replace(line, nodes=nodes, legs=(*line.legs[:index], first, second, *line.legs[index + 1 :]))


def smooth(line: Line) -> Line:
    """Return the line in one size without bends' losses and parts, which sit on their leg and move where it is cut."""
    legs = tuple(replace(leg, size=line.legs[0].size, parts=()) for leg in line.legs)
    return replace(line, legs=legs, fittings=tuple(FittingAt(node.id, "none") for node in line.nodes))


@EXAMPLES
@given(st.data(), lines(), GASES, numbers(2e3, 1e5))
def test_a_leg_split_in_two_changes_nothing(data: st.DataObject, line: Line, refrigerant: str, load_W: float) -> None:
    """A leg is cut where density changes by 1 % in it; a step of d leaves d^2 / 12 of the terms as error of either."""
    plain = smooth(line)
    index = data.draw(st.integers(0, len(plain.legs) - 1))
    split = halved(plain, index, data.draw(numbers(0.1, 0.9)))
    whole_legs, whole = solved(plain, refrigerant, load_W)
    split_legs, found = solved(split, refrigerant, load_W)
    assume((whole.drop_Pa < 0.1 * whole.inlet_Pa).all())
    within = 2.0 * 0.01**2 / 12.0 * float(sum(np.abs(getattr(whole_legs, term)).sum() for term in TERMS))
    for term in (*TERMS, "drop_Pa"):
        np.testing.assert_allclose(getattr(found, term), getattr(whole, term), rtol=0.0, atol=within, err_msg=term)
    # A leg's content goes by the mean density of its ends, which is off by the square of the change in between.
    change = float(np.abs(whole.drop_Pa / whole.outlet_Pa)[0])
    np.testing.assert_allclose(found.charge_kg, whole.charge_kg, rtol=change**2 + 1e-6)
    assert split_legs.volume_m3.sum() == pytest.approx(whole_legs.volume_m3.sum(), rel=1e-12)


def backwards(line: Line) -> Line:
    legs = tuple(Leg(leg.id, leg.end, leg.start, size=leg.size) for leg in reversed(line.legs))
    return replace(line, legs=legs, fittings=())


@EXAMPLES
@given(lines(), GASES, numbers(2e3, 1e5))
def test_the_column_swaps_sign_when_a_route_is_walked_backwards(line: Line, refrigerant: str, load_W: float) -> None:
    """Within the change of density along the line: the column weighs what the fluid weighs there."""
    plain = replace(line, legs=tuple(replace(leg, parts=()) for leg in line.legs), fittings=())
    there_legs, there = solved(plain, refrigerant, load_W)
    back_legs, _ = solved(backwards(plain), refrigerant, load_W)
    assert back_legs.ids[::-1] == there_legs.ids
    low = min(there_legs.density_kg_m3.min(), back_legs.density_kg_m3.min())
    high = max(there_legs.density_kg_m3.max(), back_legs.density_kg_m3.max())
    forward, reverse = there_legs.static_Pa[:, 0], back_legs.static_Pa[::-1, 0]
    # A leg's density is the mean of its ends, off by the square of the change in between where it is cut finely.
    within = high / low - 1.0 + float(np.abs(there.drop_Pa / there.outlet_Pa)[0]) ** 2
    assert (np.abs(forward + reverse) <= within * np.maximum(np.abs(forward), np.abs(reverse)) + 1e-9).all()
    assert (np.sign(forward) == -np.sign(reverse)).all()


def assert_holds_together(result: Result) -> None:
    """Terms and legs add up, and nothing is NaN but where the results say so."""
    for circuit in result.circuits:
        for line in circuit.lines:
            if line.flow is None or line.legs is None:
                continue
            flow, legs = line.flow, line.legs
            total = sum(getattr(flow, term) for term in TERMS)
            passes = flow.passes_flow
            # Pressures come to rest within 1e-9 of themselves, which is what a difference of two of them is good for;
            # where a great drop makes them come to rest slowly, within 1e-6.
            near = np.where(flow.drop_Pa < 0.1 * flow.inlet_Pa, 1e-9, 1e-6) * flow.inlet_Pa
            assert (np.abs(total - flow.drop_Pa)[passes] <= near[passes]).all()
            leg_terms = sum(getattr(legs, term) for term in TERMS)
            assert (np.abs(leg_terms - legs.drop_Pa)[:, passes] <= near[passes]).all()
            np.testing.assert_allclose(legs.charge_kg.sum(axis=0), flow.charge_kg, rtol=1e-12)
            np.testing.assert_allclose(legs.inlet_Pa[1:], legs.outlet_Pa[:-1], rtol=0.0)
            liquid = line.line.service is not Service.DISCHARGE
            turns = (np.fmin(legs.start_margin_K.min(axis=0), legs.end_margin_K.min(axis=0)) < -1e-9) & passes
            boils = passes & (flow.outlet_subcooling_K < 0.0)
            exists = {
                "passes_flow": np.ones_like(passes),
                "outlet_subcooling_K": passes & liquid,
                "outlet_vapour_fraction": passes & liquid,
                "turns_at_m": turns,
                "indicative_outlet_Pa": boils,
                "indicative_vapour_fraction": boils,
            }
            for name in LineFlow.__slots__:
                if name != "budget":
                    assert (np.isfinite(getattr(flow, name)) == exists.get(name, passes)).all(), name
            assert (flow.budget is not None) == liquid
            if flow.budget is not None:
                spent = sum(
                    getattr(flow.budget, f"{name}_K") for name in ("friction", "fittings", "parts", "lift", "heat")
                )
                np.testing.assert_allclose(flow.budget.subcooling_K - spent, flow.budget.margin_K, atol=1e-9)
                np.testing.assert_allclose(flow.budget.margin_K[passes], flow.outlet_subcooling_K[passes], atol=1e-4)
            for name in ("oil_return_ratio", "minimum_velocity_m_s"):
                assert (np.isfinite(getattr(legs, name)) == (legs.climbs[:, None] & passes)).all(), name
            for name in ("velocity_m_s", "reynolds", "friction_factor", "density_kg_m3", "charge_kg", "drop_Pa"):
                assert (np.isfinite(getattr(legs, name)) == passes).all(), name
    json.dumps(result.as_dict(), allow_nan=False)
    for finding in result.findings:
        for system in ("si", "ip"):
            assert finding.message(system)
        assert finding.source
        assert finding.rule


def solved_or_refused(random_job: Job) -> Result | None:
    """Solve a job; None where a condition cannot be calculated and the program says so."""
    try:
        return solve(random_job)
    except UserError as refused:
        if refused.code.startswith(("CYCLE-", "PROP-")):
            return None
        raise


@settings(EXAMPLES, max_examples=40)
@given(jobs())
def test_terms_and_legs_add_up_and_nothing_is_nan(random_job: Job) -> None:
    result = solved_or_refused(random_job)
    assume(result is not None)
    assert result is not None
    assert_holds_together(result)


@settings(EXAMPLES, max_examples=40)
@given(any_jobs())
def test_any_job_that_can_be_opened_is_solved_or_refused_in_words(random_job: Job) -> None:
    result = solved_or_refused(random_job)
    if result is not None:
        assert_holds_together(result)
