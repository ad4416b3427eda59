"""A flow that does not pass, equipment without data, and the order in which findings come."""

from __future__ import annotations

import pytest

from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.finding import Level
from linesizer.domain.route import Service
from tests.checks.limits import assert_words_are_whole, circuit, coded, only
from tests.solver.routes import ORIGIN, chain, condition

CONDITIONS = [condition("low", capacity_W=2e3), condition("full", name="Full load"), condition("peak", capacity_W=90e3)]


@pytest.mark.parametrize(("service", "word"), [(Service.DISCHARGE, "its start"), (Service.LIQUID, "its end")])
def test_a_flow_that_does_not_pass_is_said_once_at_the_greatest_flow(service: Service, word: str) -> None:
    found = circuit(chain([ORIGIN, (60.0, 0.0, 0.0)], service, size="3/8"), conditions=CONDITIONS)
    finding = only(found, "flow_does_not_pass")
    assert (finding.level, finding.condition, finding.line) == (Level.STOP, "peak", found.lines[0].line.id)
    assert finding.value == found.conditions.mass_flow_kg_s[2]
    assert finding.unit == "kg/s"
    assert word in finding.message()
    assert_words_are_whole(finding)


def test_it_is_not_said_of_a_line_that_passes() -> None:
    assert not coded(circuit(chain([ORIGIN, (60.0, 0.0, 0.0)]), conditions=CONDITIONS), "flow_does_not_pass")


@pytest.mark.parametrize(
    ("equipment", "missing"),
    [
        (Equipment("e", Role.CONDENSER, volume_m3=0.02), "mean liquid fraction"),
        (Equipment("e", Role.CONDENSER, mean_liquid_fraction=0.2), "volume"),
        (Equipment("e", Role.CONDENSER, volume_m3=0.02, mean_liquid_fraction=0.2), None),
        (Equipment("e", Role.CONDENSER, operating_kg=3.0), None),
        (Equipment("e", Role.CONDENSER, operating_kg=0.0), None),
        (Equipment("e", Role.RECEIVER, kind=ReceiverKind.SURGE, volume_m3=0.05), "operating fill"),
        (Equipment("e", Role.RECEIVER, kind=ReceiverKind.SURGE, volume_m3=0.05, operating_fill=0.0), None),
        (
            Equipment("e", Role.RECEIVER, kind=ReceiverKind.SURGE, volume_m3=0.05, mean_liquid_fraction=0.3),
            "operating fill",
        ),
        (Equipment("e", Role.UNIT), "0 if it holds none"),
        (Equipment("e", Role.UNIT, "Unit {7}"), "Unit {7}"),
    ],
)
def test_equipment_without_charge_data(equipment: Equipment, missing: str | None) -> None:
    found = coded(circuit(equipment=(equipment,)), "charge_data_missing")
    if missing is None:
        assert found == []
        return
    (finding,) = found
    assert finding.level is Level.WARN
    assert missing in finding.message()
    assert missing in finding.message("ip")


def test_every_piece_of_equipment_has_a_finding_of_its_own() -> None:
    pieces = tuple(Equipment(name, Role.UNIT) for name in ("a", "b"))
    assert len(coded(circuit(equipment=pieces), "charge_data_missing")) == 2


def test_the_heaviest_findings_come_first() -> None:
    tall = chain([ORIGIN, (0.0, 0.0, 25.0)], Service.LIQUID, size="7/8")
    gas = chain([ORIGIN, (25.0, 0.0, 0.0)], size="1-3/8")
    found = circuit(tall, gas, equipment=(Equipment("u", Role.UNIT),))
    weights = [finding.level.weight for finding in found.findings]
    assert weights == sorted(weights, reverse=True)
    assert set(weights) == {3, 2, 1}
