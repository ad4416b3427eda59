"""Results as plain values, and findings as sentences."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.remedy import AskForSubcooling, UseSize
from linesizer.domain.result import LineResult
from linesizer.domain.result_rows import plain
from linesizer.domain.route import DoubleRiser, Service
from linesizer.evaluate import solve
from linesizer.units import Kind
from tests.solver.routes import ORIGIN, chain, condition, job

UP = [ORIGIN, (0.0, 0.0, 6.0), (8.0, 0.0, 6.0)]
CONDITIONS = [condition("full"), condition("low", capacity_W=20e3)]
RESULT = solve(job(chain(UP), chain(UP, Service.LIQUID, size="7/8"), conditions=CONDITIONS))


def test_plain_numbers() -> None:
    assert plain(1.5) == 1.5
    assert plain(None) is plain(math.nan) is plain(math.inf) is None


def test_the_rows_are_the_arrays() -> None:
    row = RESULT.as_dict()["circuits"][0]
    circuit = RESULT.circuits[0]
    assert [one["id"] for one in row["conditions"]] == ["full", "low"]
    for index, one in enumerate(row["conditions"]):
        assert one["mass_flow_kg_s"] == circuit.conditions.mass_flow_kg_s[index]
        assert one["discharge_C"] == circuit.conditions.discharge_C[index]
    gas, line = row["lines"][0], circuit.lines[0]
    assert line.flow is not None
    assert line.legs is not None
    assert [one["pressure_drop_Pa"] for one in gas["by_condition"]] == line.flow.drop_Pa.tolist()
    assert [one["id"] for one in gas["legs"]] == ["l0", "l1"]
    for index, leg in enumerate(gas["legs"]):
        assert [one["static_Pa"] for one in leg["by_condition"]] == line.legs.static_Pa[index].tolist()
        assert [one["pressure_drop_Pa"] for one in leg["by_condition"]] == line.legs.drop_Pa[index].tolist()
        assert leg["fitting_length_m"] == line.legs.fitting_length_m[index, 0]
    assert gas["legs"][1]["by_condition"][0]["oil_return_ratio"] is None
    assert gas["legs"][0]["by_condition"][1]["oil_return_ratio"] == line.legs.oil_return_ratio[0, 1]


def test_the_rows_of_corners_heat_budget_and_double_riser() -> None:
    plain_line = chain(UP)
    riser = replace(plain_line.legs[0], size=None, double_riser=DoubleRiser("7/8", "1-3/8", 0.4))
    line = replace(plain_line, legs=(riser, *plain_line.legs[1:]))
    control = HeadPressureControl(HeadPressureControlKind.FAN_SPEED, 30.0)
    loads = [condition("full", hours_per_year=2000.0), condition("low", capacity_W=6e3)]
    made = job(
        line, chain(UP, Service.LIQUID, size="7/8"), conditions=loads, head_pressure_control=control, heat_exchange=True
    )
    made = replace(made, site=replace(made.site, indoor_ambient_C=20.0, electricity_price_kWh=0.25))
    result = solve(made)
    circuit, row = result.circuits[0], json.loads(json.dumps(result.as_dict(), allow_nan=False))["circuits"][0]
    assert [one["condensing_C"] for one in row["corners"]] == [30.0, 30.0]
    assert [one["capacity_W"] for one in row["corners"]] == [6e3, 60e3]
    legs, rows = circuit.lines[0].legs, row["lines"][0]["legs"]
    assert legs is not None
    for index, leg in enumerate(rows):
        assert [one["end_C"] for one in leg["by_condition"]] == legs.end_C[index].tolist()
        assert [one["start_margin_K"] for one in leg["by_condition"]] == legs.start_margin_K[index].tolist()
        assert [one["surface_C"] for one in leg["by_condition"]] == legs.surface_C[index].tolist()
    assert [one["oil_return_ratio"] for one in rows[0]["corners"]] == legs.corner_ratio[0].tolist()
    assert [one["oil_return_ratio"] for one in rows[1]["corners"]] == [None, None]
    twin = rows[0]["double_riser"]
    assert rows[1]["double_riser"] is None
    assert (twin["small"], twin["large"], twin["seal_m"]) == ("7/8", "1-3/8", 0.4)
    assert [one["pattern"] for one in twin["by_condition"]] == ["both", "small"]
    assert [one["small_ratio"] for one in twin["by_condition"]] == legs.double_risers[0].small_ratio.tolist()
    assert twin["by_condition"][1]["large_ratio"] is None
    assert {one["pattern"] for one in twin["corners"]} == {"both", "small"}
    for flow, of_line in ((one.flow, rows) for one, rows in zip(circuit.lines, row["lines"], strict=True)):
        assert flow is not None
        assert [one["heat_W"] for one in of_line["by_condition"]] == flow.heat_W.tolist()
    assert row["lines"][0]["by_condition"][0]["budget"] is None
    budget = circuit.lines[1].flow.budget  # type: ignore[union-attr]
    assert [one["budget"]["lift_K"] for one in row["lines"][1]["by_condition"]] == budget.lift_K.tolist()
    sizes, swept = row["lines"][0]["sizes"], circuit.lines[0].sweep
    assert swept is not None
    passing = [one for one in sizes if one["pressure_drop_Pa"] is not None]
    assert len(passing) > 5
    for one in passing:
        assert one["yearly_kWh"] == pytest.approx(2.0 * one["extra_power_W"], rel=1e-9)
        assert one["yearly_cost"] == pytest.approx(0.25 * one["yearly_kWh"], rel=1e-9)
    assert {one["extra_power_W"] for one in row["lines"][1]["sizes"]} == {None}


def test_a_lines_own_figures() -> None:
    row, line = RESULT.as_dict()["circuits"][0]["lines"][0], RESULT.circuits[0].lines[0]
    assert line.legs is not None
    assert row["length_m"] == pytest.approx(14.0)
    assert row["rise_m"] == 6.0
    bend = line.legs.fitting_length_m[1, 0]
    assert row["equivalent_length_m"] == pytest.approx(14.0 + bend)
    assert row["volume_m3"] == pytest.approx(14.0 * 0.25 * math.pi * (1.265 * 0.0254) ** 2)
    empty = LineResult(line.line, 1.0, 0.0, None, None, None)
    assert empty.volume_m3 is empty.equivalent_length_m is None


def test_sizes_say_whether_they_pass_and_why_not() -> None:
    rows = RESULT.as_dict()["circuits"][0]["lines"][0]["sizes"]
    assert {row["passes"] for row in rows} == {True, False}
    for row in rows:
        assert row["passes"] == (row["excluded_by"] is None)
    assert rows[0]["pressure_drop_Pa"] is None


def test_the_result_is_plain_json() -> None:
    text = json.dumps(RESULT.as_dict(), allow_nan=False)
    assert json.loads(text) == RESULT.as_dict()


def test_findings_of_all_circuits_together() -> None:
    assert RESULT.findings == RESULT.circuits[0].findings
    rows = RESULT.as_dict()["circuits"][0]["findings"]
    assert [row["code"] for row in rows] == [finding.code for finding in RESULT.findings]
    for row, finding in zip(rows, RESULT.findings, strict=True):
        assert row["message"] == finding.message("si")
        assert (row["level"], row["rule"], row["source"]) == (finding.level, finding.rule, finding.source)


def test_a_findings_words_in_either_system() -> None:
    finding = Finding(
        code="x",
        level=Level.WARN,
        title="",
        words="{who} loses {much} of {bare} at {name}.",
        circuit="c1",
        kind=Kind.TEMPERATURE_DIFFERENCE,
        figures=(
            ("who", "Line {b}"),
            ("much", Figure(Kind.TEMPERATURE_DIFFERENCE, 1.0)),
            ("bare", Figure(Kind.TEMPERATURE_DIFFERENCE, 2.0, bare=True)),
            ("name", "{0}"),
        ),
    )
    assert finding.message() == "Line {b} loses 1.00 K of 2.00 at {0}."
    assert finding.message("ip") == "Line {b} loses 1.80 °F of 3.60 at {0}."
    assert finding.unit == "K"


def test_levels_and_remedies() -> None:
    assert [level.weight for level in (Level.STOP, Level.WARN, Level.NOTE)] == [3, 2, 1]
    assert UseSize("gas", ("l0",), "7/8").label == "Use 7/8"
    assert AskForSubcooling("low", 7.5).label
