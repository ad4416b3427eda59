"""The command ``charge``: the charge of a job, and what each tube size would hold."""

import json
import math
from collections.abc import Callable

import pytest
from CoolProp.CoolProp import PropsSI

from linesizer import read_job, solve
from linesizer.catalog.tubes import tube_catalogue
from tests.cli.manners import SAMPLE, Done

Run = Callable[..., Done]


def test_json_has_the_agreed_keys_and_agrees_with_the_result(linesizer: Run) -> None:
    done = linesizer("charge", SAMPLE, "--json")
    assert (done.code, done.err) == (0, "")
    answer = json.loads(done.out, parse_constant=pytest.fail)
    assert list(answer) == ["circuits"]
    (circuit,) = answer["circuits"]
    assert list(circuit) == ["id", "charge", "lines"]
    (sized,) = solve(read_job(SAMPLE)).as_dict()["circuits"]
    assert circuit["charge"] == sized["charge"]
    for line, drawn in zip(circuit["lines"], sized["lines"], strict=True):
        assert list(line) == ["id", "charge_kg", "sizes"]
        assert (line["id"], line["charge_kg"]) == (drawn["id"], drawn["charge_kg"])
        assert [list(row) for row in line["sizes"]] == [["size", "kg_m", "charge_kg"]] * len(drawn["sizes"])
        assert [row["size"] for row in line["sizes"]] == [row["size"] for row in drawn["sizes"]]


def test_a_line_all_in_one_size_holds_what_that_size_says(linesizer: Run) -> None:
    (circuit,) = json.loads(linesizer("charge", SAMPLE, "--json").out)["circuits"]
    for line, size in zip(circuit["lines"], ("1-5/8", "1-1/8"), strict=True):
        (row,) = (row for row in line["sizes"] if row["size"] == size)
        assert row["charge_kg"] == pytest.approx(line["charge_kg"], rel=1e-6)


def test_a_metre_of_liquid_tube_against_coolprop(linesizer: Run) -> None:
    """Bore area times the density that CoolProp gives R134a, subcooled as the job states at its governing condition.

    The density along the line moves by less than 0.2 %: 6.8 m of lift at 80 Pa/m and a drop of some kPa.
    """
    job = read_job(SAMPLE)
    (circuit,) = json.loads(linesizer("charge", SAMPLE, "--json").out)["circuits"]
    (condition,) = (c for c in job.circuits[0].conditions if c.id == circuit["charge"]["condition"])
    pressure = PropsSI("P", "T", condition.condensing_C + 273.15, "Q", 1, "R134a")
    density = PropsSI("D", "T", condition.condensing_C - condition.subcooling_K + 273.15, "P", pressure, "R134a")
    liquid = circuit["lines"][1]
    tube = tube_catalogue(job.circuits[0].lines[1].tube)
    bores = dict(zip(tube.size_names, tube.inside_diameters_m, strict=True))
    for row in liquid["sizes"]:
        if row["kg_m"] is not None:
            expected = density * math.pi / 4.0 * bores[row["size"]] ** 2
            assert row["kg_m"] == pytest.approx(expected, rel=4e-3), row["size"]


def test_tables_in_either_system(linesizer: Run) -> None:
    (circuit,) = json.loads(linesizer("charge", SAMPLE, "--json").out)["circuits"]
    (row,) = (row for row in circuit["lines"][0]["sizes"] if row["size"] == "1-5/8")
    si, ip = linesizer("charge", SAMPLE), linesizer("charge", SAMPLE, "--units", "ip")
    assert ["size", "kg/m", "kg"] in [line.split() for line in si.out.splitlines()]
    assert f"1-5/8  {row['kg_m']:.3f}  {row['charge_kg']:.2f}  < drawn".split() in [
        line.split() for line in si.out.splitlines()
    ]
    # 100 ft are 30.48 m and a pound is 0.45359237 kg (NIST SP 811).
    per_100_ft, whole = row["kg_m"] * 30.48 / 0.45359237, row["charge_kg"] / 0.45359237
    assert ["size", "lb/100", "ft", "lb"] in [line.split() for line in ip.out.splitlines()]
    assert f"1-5/8 {per_100_ft:.2f} {whole:.2f} < drawn".split() in [line.split() for line in ip.out.splitlines()]


def test_tables_say_the_total_and_the_condition(linesizer: Run) -> None:
    result = solve(read_job(SAMPLE)).circuits[0]
    out = linesizer("charge", SAMPLE).out
    title = result.circuit.conditions[result.charge.condition_index].title
    assert f"Charge at {title}: {result.charge.total_kg:.2f} kg" in out
    assert out.count(f"The whole line at one size, at {title}:") == 2
    assert "local codes" in out


def test_a_size_that_cannot_pass_the_flow_has_no_figure(linesizer: Run) -> None:
    (circuit,) = json.loads(linesizer("charge", SAMPLE, "--json").out)["circuits"]
    assert circuit["lines"][0]["sizes"][0] == {"size": "3/8", "kg_m": None, "charge_kg": None}
    assert ["3/8", "–", "–"] in [line.split() for line in linesizer("charge", SAMPLE).out.splitlines()]


def test_figures_are_of_the_governing_condition_and_not_the_largest(linesizer: Run) -> None:
    result = solve(read_job(SAMPLE)).circuits[0]
    sweep = result.lines[0].sweep
    assert sweep is not None
    (circuit,) = json.loads(linesizer("charge", SAMPLE, "--json").out)["circuits"]
    index = sweep.sizes.index("1-5/8")
    # Gas is denser at the higher condensing temperature; the charge is governed by the other condition.
    assert circuit["lines"][0]["sizes"][index]["charge_kg"] < float(sweep.charge_kg[index])
