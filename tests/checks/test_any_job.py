"""Whatever the job: every finding is a whole sentence with finite numbers, and every remedy can be carried out."""

from __future__ import annotations

from dataclasses import replace
from math import isfinite

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from linesizer.document.remedies import remedy_command
from linesizer.domain.equipment import Equipment, MakerLimits, Role
from linesizer.domain.geometry import route_problems
from linesizer.domain.job import Job, Room, Site
from linesizer.domain.part import Part
from linesizer.domain.remedy import AddPart, GiveFall, PutFitting
from linesizer.domain.route import Line, Service
from linesizer.evaluate import solve
from tests.solver import routes

LIMITS = MakerLimits(5.0, 1.0, 1.0, 1.0, ("1/2",), ("1/2",))
KINDS = st.sampled_from(["ball_valve", "check_valve", "solenoid_valve", "regulator", "relief_valve", "filter_drier"])


@st.composite
def equipped(draw: st.DrawFn) -> Job:
    """Return a random job with a drain line, valves on its liquid lines, equipment and rooms."""
    made = draw(routes.jobs())
    circuit = made.circuits[0]
    lines = (*circuit.lines, draw(routes.chains(Service.DRAIN, "drain")))
    equipment = (
        Equipment("unit", Role.UNIT, place="hall", connections=(("discharge", "7/8"),), maker_limits=LIMITS),
        Equipment("cond", Role.CONDENSER, name="Cooler {x}", place="outdoor"),
        Equipment("rec", Role.RECEIVER),
    )
    site = Site(rooms=(Room("hall", ambient_C=draw(st.none() | routes.numbers(5.0, 40.0))),), summer_ambient_C=30.0)
    filled = tuple(draw(with_valves(line)) for line in lines)
    return replace(made, site=site, circuits=(replace(circuit, lines=filled, equipment=equipment),))


@st.composite
def with_valves(draw: st.DrawFn, line: Line) -> Line:
    """Return a line with up to two more parts on each leg, and sometimes a fall."""
    legs = []
    for leg in line.legs:
        kinds = draw(st.lists(KINDS, max_size=2))
        more = tuple(Part(f"{leg.id}-{i}", kind, draw(routes.numbers(0.0, 1.0))) for i, kind in enumerate(kinds))
        legs.append(replace(leg, parts=(*leg.parts, *more), fall=draw(st.sampled_from([0.0, 0.01, 0.05]))))
    return replace(line, legs=tuple(legs))


@given(equipped())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_sentences_are_whole_and_remedies_work(job: Job) -> None:
    lines = {line.id: {leg.id for leg in line.legs} for line in job.circuits[0].lines}
    for finding in solve(job).findings:
        for system in ("si", "ip"):
            message = finding.message(system)
            assert "{" not in message.replace("Cooler {x}", "")
            assert "nan" not in message
            assert message.endswith(".")
        assert finding.value is None or isfinite(finding.value)
        assert finding.limit is None or isfinite(finding.limit)
        assert finding.line is None or finding.line in lines
        assert finding.leg is None or finding.leg in lines[finding.line or ""]
        if isinstance(finding.remedy, AddPart | PutFitting | GiveFall):
            after = remedy_command("c1", finding.remedy).apply(job)
            assert after != job
            assert not any(route_problems(line) for line in after.circuits[0].lines)
