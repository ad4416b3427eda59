"""Whatever two condensers hang on: solving ends, what passes has figures, findings are whole sentences."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from linesizer.domain.job import Job, Site
from linesizer.evaluate import solve
from tests.solver.condensers import FULL, LOW, condensers, gas, liquid, parallel_job
from tests.solver.routes import COPPER_SIZES, numbers

SIZES = st.sampled_from(COPPER_SIZES)
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"""Without shrinking: each solution costs too much for the thousands that it takes."""


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Return a job with random lengths, heights, sizes, shares, drops and conditions; some sizes left open."""
    far = draw(numbers(8.5, 60.0))
    up = gas(far, trunk=draw(SIZES), branch=draw(SIZES), far_branch=draw(st.none() | SIZES))
    down = liquid(far, trunk=draw(SIZES), branch=draw(SIZES), header_m=draw(numbers(-2.0, 8.9)))
    heights = {"c": draw(numbers(-1.0, 12.0))} if draw(st.booleans()) else {}
    nodes = tuple(
        replace(node, at_m=(*node.at_m[:2], heights.get(node.id, node.at_m[2]) + 0.013)) if node.id in heights else node
        for node in down.nodes
    )
    down = replace(down, nodes=nodes)
    if draw(st.booleans()):
        up = replace(up, legs=tuple(replace(leg, size=None) if draw(st.booleans()) else leg for leg in up.legs))
    share = draw(st.none() | numbers(0.02, 0.98))
    shares = (None, None) if share is None else (share, draw(st.sampled_from([None, 1.0 - share])))
    drop = draw(st.none() | numbers(0.0, 6e4))
    machines = condensers(shares=shares, drop_Pa=drop, at_kg_s=None if drop is None else draw(numbers(0.1, 1.0)))
    conditions = tuple(
        replace(one, capacity_W=draw(numbers(0.2, 1.5)) * one.capacity_W, bypass=draw(st.sampled_from([0.0, 0.2])))
        for one in (FULL, LOW)
    )
    made = parallel_job(up, down, equipment=machines, conditions=conditions, heat_exchange=draw(st.booleans()))
    return replace(made, site=Site(summer_ambient_C=32.0, winter_ambient_C=-15.0, electricity_price_kWh=0.2))


@given(jobs())
@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
def test_figures_and_sentences_are_sound(job: Job) -> None:
    result = solve(job)
    json.dumps(result.as_dict(), allow_nan=False)
    circuit = result.circuits[0]
    up = circuit.lines[0]
    if up.flow is not None and up.branches:
        # The search has come to rest: the lowest pressure at a condenser is the condensing pressure.
        lowest = np.min([branch.outlet_Pa for branch in up.branches], axis=0)[up.flow.passes_flow]
        np.testing.assert_allclose(lowest, circuit.conditions.condensing_Pa[up.flow.passes_flow], rtol=1.1e-5)
    for line in result.circuits[0].lines:
        if line.flow is None or line.legs is None:
            continue
        passes = line.flow.passes_flow
        assert (np.isfinite(line.flow.drop_Pa) == passes).all()
        assert (line.legs.density_kg_m3[:, passes] > 0.0).all()
        total = sum(branch.share for branch in line.branches)
        np.testing.assert_allclose(total, 1.0, atol=1e-6)
        for branch in line.branches:
            assert (branch.share > 0.0).all()
            # Legs join without a gap but for what a curve of density through few points leaves.
            places = [line.legs.ids.index(leg) for leg in branch.legs]
            ends, begins = line.legs.outlet_Pa[places[:-1]][:, passes], line.legs.inlet_Pa[places[1:]][:, passes]
            np.testing.assert_allclose(begins, ends, rtol=3e-4)
    for finding in result.findings:
        for system in ("si", "ip"):
            message = finding.message(system)
            assert "{" not in message
            assert "nan" not in message.split()
            assert message.endswith(".")
