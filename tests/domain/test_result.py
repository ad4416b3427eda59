"""Results as plain values, and findings as sentences."""

from __future__ import annotations

import json
import math

import pytest

from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.remedy import AskForSubcooling, UseSize
from linesizer.domain.result import LineResult
from linesizer.domain.result_rows import plain
from linesizer.domain.route import Service
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
