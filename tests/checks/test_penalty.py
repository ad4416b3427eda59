"""Drop as a loss of saturation temperature against the limits of practice."""

from __future__ import annotations

import pytest

from linesizer.domain.finding import Level
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import Service
from tests.checks.limits import assert_words_are_whole, circuit, coded, codes, only
from tests.solver.routes import ORIGIN, chain, condition

GAS = chain([ORIGIN, (12.0, 0.0, 0.0)], size="1-1/8")
LIQUID = chain([ORIGIN, (12.0, 0.0, 0.0)], Service.LIQUID, size="5/8")
CONDITIONS = [
    condition("low", capacity_W=20e3),
    condition("full", name="Full load"),
    condition("mid", capacity_W=40e3),
]


def penalty_K(line=GAS) -> float:  # type: ignore[no-untyped-def]
    flow = circuit(line, conditions=CONDITIONS).lines[0].flow
    assert flow is not None
    return float(flow.saturation_penalty_K[1])


@pytest.mark.parametrize(
    ("line", "rule"), [(GAS, "discharge_penalty_K"), (LIQUID, "liquid_penalty_K")], ids=["discharge", "liquid"]
)
def test_at_just_above_and_just_below_the_limit(line, rule: str) -> None:  # type: ignore[no-untyped-def]
    value = penalty_K(line)
    for limit, over in ((value * (1 - 1e-9), True), (value, False), (value * (1 + 1e-9), False)):
        found = circuit(line, conditions=CONDITIONS, overrides={rule: limit})
        assert bool(coded(found, "penalty_over_limit")) == over


def test_the_aim_is_a_note_and_only_below_the_limit() -> None:
    value = penalty_K()
    aim = {"discharge_penalty_target_K": value * 0.99, "discharge_penalty_K": value * 1.01}
    found = only(circuit(GAS, conditions=CONDITIONS, overrides=aim), "penalty_over_aim")
    assert (found.level, found.rule, found.limit) == (Level.NOTE, "discharge_penalty_target_K", value * 0.99)
    assert_words_are_whole(found)
    both = {"discharge_penalty_target_K": value * 0.98, "discharge_penalty_K": value * 0.99}
    found_codes = codes(GAS, conditions=CONDITIONS, overrides=both)
    assert "penalty_over_limit" in found_codes
    assert "penalty_over_aim" not in found_codes
    none = {"discharge_penalty_target_K": value, "discharge_penalty_K": value}
    assert not {"penalty_over_limit", "penalty_over_aim"} & codes(GAS, conditions=CONDITIONS, overrides=none)


def test_one_finding_a_line_at_its_worst_condition() -> None:
    found = circuit(
        GAS, LIQUID, conditions=CONDITIONS, overrides={"discharge_penalty_K": 0.06, "liquid_penalty_K": 0.06}
    )
    findings = coded(found, "penalty_over_limit")
    assert sorted(finding.line or "" for finding in findings) == ["gas", "liquid"]
    for finding in findings:
        assert finding.condition == "full"
        assert finding.level is Level.WARN
        assert finding.unit == "K"
        flow = next(line.flow for line in found.lines if line.line.id == finding.line)
        assert flow is not None
        assert finding.value == flow.saturation_penalty_K.max()


def test_a_name_with_braces_stays_as_it_is() -> None:
    braced = [condition("full", name="Full {load}")]
    finding = only(circuit(GAS, conditions=braced, overrides={"discharge_penalty_K": 0.1}), "penalty_over_limit")
    assert "at Full {load};" in finding.message()


def test_the_words_in_both_systems() -> None:
    plain = [condition("full", name="Full load")]
    finding = only(circuit(GAS, conditions=plain, overrides={"discharge_penalty_K": 0.1}), "penalty_over_limit")
    assert_words_are_whole(finding)
    assert finding.value is not None
    assert f"{finding.value:.2f} K" in finding.message("si")
    assert f"{finding.value * 1.8:.2f} °F" in finding.message("ip")
    assert "0.10 K" in finding.message("si")
    assert "0.18 °F" in finding.message("ip")
    assert "Full load" in finding.message()


def test_the_source_names_the_set_and_how_it_was_seen_or_the_jobs_own_value() -> None:
    tight = chain([ORIGIN, (80.0, 0.0, 0.0)], size="1-1/8")
    shipped = only(circuit(tight), "penalty_over_limit")
    assert shipped.limit == 1.0
    assert "practice set general" in shipped.source
    assert "from memory" in shipped.source
    own = only(circuit(tight, overrides={"discharge_penalty_K": 1.1}), "penalty_over_limit")
    assert own.limit == 1.1
    assert "job's own value" in own.source
    assert "general" in own.source
    assert not coded(circuit(tight, overrides={"discharge_penalty_K": 9.0}), "penalty_over_limit")


def test_liquid_parts_do_not_count_as_penalty() -> None:
    valve = Part("v", "solenoid_valve", loss=PartLoss(drop_Pa=60e3))
    wide = chain([ORIGIN, (2.0, 0.0, 0.0)], Service.LIQUID, size="1-3/8", parts={0: [valve]})
    found = circuit(wide)
    assert found.lines[0].flow is not None
    assert found.lines[0].flow.saturation_penalty_K[0] > 1.0
    assert not coded(found, "penalty_over_limit")
    # On a discharge line everything counts.
    gas = chain([ORIGIN, (2.0, 0.0, 0.0)], size="2-1/8", parts={0: [valve]})
    assert coded(circuit(gas), "penalty_over_limit")
