"""All refrigerants at the corners of their tables: finite numbers, or a finding or an error that says why not.

Evaporating at the table's cold and warm end, condensing just below its top, the largest superheat and subcooling, loads
from a lamp's to a power station's, bores from the smallest to the largest, heat from any air.  Warnings fail a test.
"""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.condition import Condition
from linesizer.domain.job import Job, Site
from linesizer.domain.result import CircuitResult, Result
from linesizer.domain.route import DoubleRiser, Leg, Line, Service
from linesizer.errors import UserError
from linesizer.evaluate import solve
from linesizer.properties.library import load, names
from tests.solver.routes import ORIGIN, chain, condition, job, numbers

TUBES = ("ASTM-B280-drawn", "ASME-B36.10-40")
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
UP = [ORIGIN, (0.0, 0.0, 12.0), (15.0, 0.0, 12.0), (15.0, 5.0, 8.0)]
DOWN = [(15.0, 6.0, 8.0), (15.0, 6.0, -3.0), (1.0, 6.0, -3.0), (1.0, 6.0, 1.0)]


@st.composite
def at_corners(draw: st.DrawFn, refrigerant: str) -> Job:
    """Return a job of two conditions, the second with a tenth of the load at less head pressure."""
    table = load(refrigerant)
    low = table.minimum_saturation_temperature_K - 273.15
    high = table.maximum_saturation_temperature_K - 273.15
    evaporating = draw(st.sampled_from([low + 0.1, 0.5 * low, 0.0, min(20.0, high - 5.0)]))
    head = draw(st.sampled_from([high - 0.2, high - 5.0, min(30.0, high - 8.0), evaporating + 2.0]))
    condensing = max(head, evaporating + 1.5)

    def one(ident: str, load_W: float, condensing_C: float) -> Condition:
        return condition(
            ident,
            capacity_W=load_W,
            evaporating_C=evaporating,
            condensing_C=condensing_C,
            superheat_K=draw(st.sampled_from([0.0, 6.0, table.vapour_span_K - 1.0])),
            subcooling_K=draw(st.sampled_from([0.0, 5.0, 59.0])),
            suction_heat_K=draw(st.sampled_from([0.0, 0.9])),
            bypass=draw(st.sampled_from([0.0, 0.0, 0.3])),
            ambient_C=draw(st.sampled_from([-45.0, 20.0, 55.0])),
            isentropic_efficiency=draw(st.sampled_from([0.6, 1.0])),
        )

    full = draw(st.sampled_from([1.0, 50e3, 2e7]) | numbers(1e3, 1e6))
    conditions = [one("full", full, condensing), one("low", 0.1 * full, 0.5 * (condensing + evaporating + 1.5))]
    tube = draw(st.sampled_from(TUBES))
    sizes = tube_catalogue(tube).size_names
    size = st.sampled_from([sizes[0], sizes[len(sizes) // 2], sizes[-1]])

    def built(points: list[tuple[float, float, float]], service: Service) -> Line:
        line = chain(points, service, tube=tube, size=[draw(size) for _ in range(3)])
        place, thickness = draw(st.sampled_from(["outdoor", "indoor"])), draw(st.sampled_from([0.0, 0.05]))
        legs: list[Leg] = [replace(leg, place=place, insulation_m=thickness) for leg in line.legs]
        if service is Service.DISCHARGE and draw(st.booleans()):
            riser = DoubleRiser(sizes[1], draw(size), draw(st.sampled_from([0.02, 2.0])))
            legs[0] = replace(legs[0], size=None, double_riser=riser)
        return replace(line, legs=tuple(legs))

    made = job(
        built(UP, Service.DISCHARGE),
        built(DOWN, Service.LIQUID),
        refrigerant=refrigerant,
        conditions=conditions,
        heat_exchange=draw(st.booleans()),
    )
    return replace(made, site=Site(summer_ambient_C=35.0, winter_ambient_C=-30.0, indoor_ambient_C=22.0))


def assert_sound(found: CircuitResult) -> None:
    """Every figure of a line that passes its flow is finite; where it does not, a finding says so."""
    blocked = False
    for line in found.lines:
        assert line.flow is not None
        assert line.legs is not None
        passes = line.flow.passes_flow
        blocked |= not passes.all()
        for name in ("drop_Pa", "saturation_penalty_K", "outlet_C", "charge_kg", "heat_W", "acceleration_Pa"):
            assert (np.isfinite(getattr(line.flow, name)) == passes).all(), name
        for name in ("velocity_m_s", "density_kg_m3", "friction_Pa", "end_C", "surface_C", "end_margin_K"):
            assert (np.isfinite(getattr(line.legs, name)) == passes).all(), name
        assert (line.legs.density_kg_m3[:, passes] > 0.0).all()
        assert (line.legs.friction_Pa[:, passes] >= 0.0).all()
        for riser in line.legs.double_risers:
            for name in ("small_share", "small_ratio", "alone_ratio", "changeover_W", "seal_at_changeover_m"):
                assert (np.isfinite(getattr(riser, name)) == passes).all(), name
    assert blocked == any(finding.code == "flow_does_not_pass" for finding in found.findings)
    assert np.isfinite(found.conditions.mass_flow_kg_s).all()
    for finding in found.findings:
        for system in ("si", "ip"):
            words = finding.message(system).split()
            assert not {"nan", "inf", "-inf", "None", "–"} & {word.strip(".,;:()") for word in words}
        for number in (finding.value, finding.limit):
            assert number is None or np.isfinite(number)


@pytest.mark.parametrize("refrigerant", names())
@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES)
@given(data=st.data())
def test_every_refrigerant_at_the_corners_of_its_table(refrigerant: str, data: st.DataObject) -> None:
    result = solved_or_refused(data.draw(at_corners(refrigerant)))
    if result is not None:
        json.dumps(result.as_dict(), allow_nan=False)
        assert_sound(result.circuits[0])


def solved_or_refused(made: Job) -> Result | None:
    """Solve a job; None where a condition cannot be calculated and the program says so."""
    try:
        return solve(made)
    except UserError as refused:
        if refused.code.startswith(("CYCLE-", "PROP-")) and "nan" not in str(refused).lower().split():
            return None
        raise
