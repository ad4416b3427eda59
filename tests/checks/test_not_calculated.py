"""What this version does not calculate is empty or left out, and stops."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest

from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import DoubleRiser, Leg, Line, LineEnd, Node, Service
from linesizer.evaluate import solve
from tests.solver.circuits import DOWN, UP, circuit, gas, liquid, receiver
from tests.solver.routes import chain, job


def branched() -> Line:
    plain = gas()
    nodes = (*plain.nodes, Node("n3", (0.0, 5.0, 6.0)))
    return Line("gas", Service.DISCHARGE, nodes, (*plain.legs, Leg("l2", "n1", "n3", size="1-3/8")))


def double_riser(service: Service = Service.DISCHARGE) -> Line:
    plain = gas()
    riser = Leg("l0", "n0", "n1", double_riser=DoubleRiser("7/8", "1-3/8", 0.3))
    return Line("gas", service, plain.nodes, (riser, plain.legs[1]))


def stops(found: CircuitResult) -> list[tuple[str | None, str | None]]:
    return [(finding.line, finding.leg) for finding in found.findings if finding.code == "not_calculated"]


@pytest.mark.parametrize(
    ("line", "place"),
    [
        (branched(), ("gas", None)),
        (chain(UP, Service.SUCTION), ("suction", None)),
    ],
    ids=["branched", "suction"],
)
def test_lines_that_are_not_calculated_stay_empty(line: Line, place: tuple[str, str | None]) -> None:
    result = solve(job(line, liquid()))
    found = result.circuits[0]
    assert place in stops(found)
    assert found.lines[0].legs is found.lines[0].flow is found.lines[0].sweep is None
    assert found.charge.total_kg is found.charge.lines_kg is None
    row = json.loads(json.dumps(result.as_dict(), allow_nan=False))["circuits"][0]["lines"][0]
    assert (row["legs"], row["by_condition"], row["sizes"]) == ([], [], [])
    assert row["charge_kg"] is row["equivalent_length_m"] is row["volume_m3"] is None
    assert row["length_m"] > 0.0
    # The other line is there as ever.
    assert found.lines[1].flow is not None


def test_a_double_riser_of_liquid_is_not_calculated() -> None:
    found = circuit(double_riser(Service.LIQUID), liquid())
    assert stops(found) == [("gas", "l0")]
    assert found.lines[0].legs is found.lines[0].flow is None
    assert found.charge.total_kg is None


@pytest.mark.parametrize(
    ("line", "changes"),
    [
        (double_riser(), {}),
        (chain(DOWN, Service.DRAIN), {}),
        (gas(), {"heat_exchange": True}),
        (gas(), {"head_pressure_control": HeadPressureControl(HeadPressureControlKind.FAN_SPEED, 25.0)}),
        (liquid(id="other", ends=(LineEnd("n2", "rec"),)), {"equipment": (receiver(name="Tank {"),)}),
    ],
    ids=["double riser", "drain", "heat", "head pressure control", "receiver at the end"],
)
def test_what_is_calculated_does_not_stop(line: Line, changes: dict[str, Any]) -> None:
    result = solve(job(line, liquid(), **changes))
    found = result.circuits[0]
    assert stops(found) == []
    for one in found.lines:
        assert one.legs is not None
        assert one.flow is not None
        assert one.sweep is not None
        assert one.flow.passes_flow.all()
        assert np.isfinite(one.flow.drop_Pa).all()
    json.dumps(result.as_dict(), allow_nan=False)


def test_a_leg_without_a_size_takes_the_lines_own_first() -> None:
    assert circuit(gas(size=[None, "1-3/8"], default_size="1-5/8"), liquid()).lines[0].legs.sizes == ("1-5/8", "1-3/8")  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"equipment": (Equipment("s", Role.SUBCOOLER, "Cooler {x}"),)}, "Cooler {x}"),
    ],
)
def test_what_a_circuit_states_and_is_left_out_stops(changes: dict[str, Any], word: str) -> None:
    found = circuit(gas(), liquid(), **changes)
    (stop,) = (finding for finding in found.findings if finding.code == "not_calculated")
    assert word in stop.message()
    assert word in stop.message("ip")
    assert stop.level == "stop"
    assert found.lines[0].flow is not None


def test_flooding_without_its_data_leaves_the_total_open() -> None:
    control = HeadPressureControl(HeadPressureControlKind.FLOODING)
    charge = circuit(gas(), liquid(), head_pressure_control=control).charge
    assert charge.flooding is None
    assert charge.flooding_kg is charge.total_kg is charge.to_add_kg is charge.low_kg is charge.high_kg is None
    assert charge.lines_kg is not None


@pytest.mark.parametrize("service", Service)
def test_a_line_without_legs_is_no_trouble(service: Service) -> None:
    result = solve(job(Line("new", service, (), ()), liquid()))
    json.dumps(result.as_dict(), allow_nan=False)
    assert result.circuits[0].lines[0].flow is None
    assert result.circuits[0].conditions.discharge_Pa[0] == result.circuits[0].conditions.condensing_Pa[0]
