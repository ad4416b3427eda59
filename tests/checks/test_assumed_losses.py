"""Losses that nobody has stated."""

from __future__ import annotations

from typing import Any

import pytest

from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, ReceiverKind, Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import Line, Service
from linesizer.properties.library import load
from tests.checks.judged import TOO_MUCH, findings, job, messages
from tests.solver.routes import chain, condition

POINTS = [(8.0, 1.0, 6.0), (8.0, 1.0, 1.0), (1.0, 1.0, 1.0)]


def liquid(*parts: Part) -> Line:
    return chain(POINTS, Service.LIQUID, size="7/8", parts={0: parts})


def assumed(*parts: Part) -> tuple[Finding, ...]:
    return findings(job(liquid(*parts)), "assumed_losses")


def test_parts_at_a_named_default() -> None:
    (found,) = assumed(Part("d", "filter_drier"), Part("b", "ball_valve"), Part("s", "solenoid_valve"))
    assert (found.level, found.line, found.condition) == (Level.NOTE, "liquid", "full")
    si, ip = messages(found)
    assert si.startswith(
        "In line liquid the loss of filter-drier d and solenoid valve s is an assumption of the program"
    )
    assert "ball valve" not in si
    assert " kPa (at full)" in si
    assert " psi (at full)" in ip


def test_what_the_parts_cost_together() -> None:
    """The practice set's 14 kPa each for drier and solenoid, at the greatest flow."""
    (found,) = assumed(Part("d", "filter_drier"), Part("s", "solenoid_valve"))
    assert found.value == pytest.approx(28e3, rel=1e-3)


def test_a_stated_loss_is_no_assumption() -> None:
    assert assumed(Part("d", "filter_drier", loss=PartLoss(kv_m3_h=3.0))) == ()
    assert len(assumed(Part("d", "filter_drier", loss=PartLoss(kv_m3_h=3.0)), Part("s", "sight_glass"))) == 1


def test_sourced_rows_are_no_assumption() -> None:
    assert assumed(Part("b", "ball_valve"), Part("r", "relief_valve"), Part("x", "expansion_valve")) == ()


def test_a_line_that_is_not_calculated_names_them_still() -> None:
    line = chain(POINTS, Service.LIQUID, size=None, parts={0: [Part("d", "filter_drier")]})
    (found,) = findings(job(line, conditions=[TOO_MUCH]), "assumed_losses")
    assert (found.value, found.condition) == (None, None)
    assert "All parts of the line" not in found.message()


# --- the condenser's own drop


def undropped(*machines: Equipment, **changes: Any) -> tuple[Finding, ...]:
    return findings(job(liquid(), equipment=machines, **changes), "condenser_drop_not_stated")


CONDENSER = Equipment("cond", Role.CONDENSER, name="Roof condenser")


def test_a_condenser_without_its_drop() -> None:
    """R134a at 45 C: the bubble point falls by about 0.7 K over 20 kPa (project's practice set, derived)."""
    (found,) = undropped(CONDENSER)
    assert (found.level, found.condition) == (Level.NOTE, "full")
    table = load("R134a")
    pressure = float(table.dew_pressure(318.15))
    expected = float(table.bubble_temperature(pressure) - table.bubble_temperature(pressure - 20e3))
    assert found.value == pytest.approx(expected, rel=1e-9)
    assert found.value == pytest.approx(0.7, abs=0.05)
    si, ip = messages(found)
    assert "The drop of Roof condenser" in si
    assert "20.00 kPa of drop" in si
    assert "2.90 psi of drop" in ip


def test_it_costs_most_where_the_pressure_is_low() -> None:
    (found,) = undropped(CONDENSER, conditions=[condition(), condition("low", condensing_C=28.0)])
    assert found.condition == "low"


def test_the_assumption_may_be_overridden() -> None:
    (more,), (less,) = undropped(CONDENSER, overrides={"condenser_drop_assumed_Pa": 40e3}), undropped(CONDENSER)
    assert more.value is not None
    assert less.value is not None
    assert more.value > 1.9 * less.value
    assert undropped(CONDENSER, overrides={"condenser_drop_assumed_Pa": 0.0}) == ()


@pytest.mark.parametrize(
    "machines",
    [
        (Equipment("cond", Role.CONDENSER, drop_Pa=0.0),),
        (Equipment("cond", Role.CONDENSER, drop_Pa=15e3, at_kg_s=0.5),),
        (CONDENSER, Equipment("rec", Role.RECEIVER, kind=ReceiverKind.THROUGH)),
        (),
    ],
    ids=["stated as none", "stated", "a through receiver behind it", "no condenser"],
)
def test_where_it_costs_nothing(machines: tuple[Equipment, ...]) -> None:
    assert undropped(*machines) == ()


def test_a_receiver_beside_the_flow_changes_nothing() -> None:
    assert len(undropped(CONDENSER, Equipment("rec", Role.RECEIVER, kind=ReceiverKind.SURGE))) == 1


def test_subcooling_measured_in_the_line_has_the_drop_behind_it() -> None:
    measured = [condition(subcooling_at=SubcoolingAt.LIQUID_LINE)]
    assert undropped(CONDENSER, conditions=measured) == ()


def test_without_a_liquid_line_nothing_feels_it() -> None:
    gas = chain([(0.0, 0.0, 0.0), (4.0, 0.0, 0.0)])
    assert findings(job(gas, equipment=(CONDENSER,)), "condenser_drop_not_stated") == ()
