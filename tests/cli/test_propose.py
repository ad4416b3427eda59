"""``size --propose``: what is proposed stands below each line's table, and in the JSON."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import linesizer as package
from linesizer.document.commands.size import UseProposedSizes
from linesizer.domain.resources import resource
from linesizer.evaluate import propose_sizes
from tests.cli.manners import SAMPLE, Done

Run = Callable[..., Done]
SAMPLES = sorted(SAMPLE.parent.glob("*.json"))
OBJECTIVES = {"mass": "mass", "charge": "charge", "power": "power", "cost": "yearly_cost"}


def lines_of(text: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(text)["circuits"][0]["lines"]
    return found


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("units", ["si", "ip"])
def test_every_line_has_its_proposal_below_its_table(linesizer: Run, path: Path, units: str) -> None:
    done = linesizer("size", path, "--propose", "--units", units)
    assert (done.code, done.err) == (0, "")
    parts = done.out.split("The whole line at one size")[1:]
    assert len(parts) == 2
    for part in parts:
        assert part.count("Proposed for least tube: ") + part.count("No sizes meet every limit. Nearest: ") == 1
    assert linesizer("size", path, "--units", units).out.count("Proposed for") == 0


def test_the_aim_is_chosen(linesizer: Run) -> None:
    for word, objective in OBJECTIVES.items():
        done = linesizer("size", SAMPLE, "--json", "--propose", word)
        assert [line["proposal"]["objective"] for line in lines_of(done.out)] == [objective, objective]
    power = linesizer("size", SAMPLE, "--propose", "power").out
    assert "Proposed for least power: " in power
    assert "Least power has no figure here. The drop of a liquid line" in power


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_json_holds_figures_that_the_job_has_once_it_is_built_so(linesizer: Run, path: Path) -> None:
    """The sizing confirms a combination at the flow that it was found at, which the line's own heat hardly moves."""
    job = package.read_job(path)
    text = linesizer("size", path, "--json", "--propose").out
    document = json.loads(text)
    Draft202012Validator(json.loads(resource("schema", "result.schema.json").read_bytes())).validate(document)
    for row in document["circuits"][0]["lines"]:
        proposal = row["proposal"]
        chosen = proposal["chosen"]
        found = propose_sizes(job, "c1", row["id"])
        assert found is not None
        assert proposal["fits"] is found.fits
        assert [one["leg"] for one in chosen["sizes"]] == [leg for leg, _ in found.chosen.sizes]
        built = package.solve(UseProposedSizes("c1", row["id"], found.chosen.sizes).apply(job))
        line = next(one for one in built.circuits[0].lines if one.line.id == row["id"])
        assert line.flow is not None
        assert line.legs is not None
        penalty = line.flow.saturation_penalty_K if row["service"] == "discharge" else line.flow.tube_penalty_K
        assert chosen["penalty_K"] == pytest.approx(float(penalty.max()), rel=3e-3, abs=2e-3)
        assert chosen["charge_kg"] == pytest.approx(float(line.flow.charge_kg.max()), rel=2e-3)
        assert chosen["velocity_m_s"] == pytest.approx(float(line.legs.velocity_m_s.max()), rel=2e-3)
        assert (chosen["penalty_K"] <= 1.0) or not proposal["fits"]
        front = [(one["tube_mass_kg"], one["penalty_K"]) for one in proposal["front"]]
        assert front == sorted(front)
        assert bool(proposal["exclusions"]) is not proposal["fits"]


def test_without_being_asked_only_what_the_program_sized_is_there(linesizer: Run, tmp_path: Path) -> None:
    assert [line["proposal"] for line in lines_of(linesizer("size", SAMPLE, "--json").out)] == [None, None]
    document = json.loads(SAMPLE.read_bytes())
    line = document["circuits"][0]["lines"][0]
    line["default_size"] = None
    for leg in line["legs"]:
        leg["size"] = None
    path = tmp_path / "open.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    gas, liquid = lines_of(linesizer("size", path, "--json").out)
    assert gas["proposal"]["open_legs"] == [leg["id"] for leg in line["legs"]]
    assert [one["size"] for one in gas["proposal"]["chosen"]["sizes"]] == [leg["size"] for leg in gas["legs"]]
    assert liquid["proposal"] is None


def test_a_file_behind_the_option_is_told_where_it_belongs(linesizer: Run) -> None:
    done = linesizer("size", "--propose", SAMPLE)
    assert (done.code, done.out) == (2, "")
    assert "is none of mass, charge, power, cost; where it is the file, write it before --propose" in done.err
    assert linesizer("size", SAMPLE, "--propose", "weight").code == 2


def test_a_line_that_is_not_calculated_says_so(linesizer: Run, tmp_path: Path) -> None:
    document = json.loads(SAMPLE.read_bytes())
    document["circuits"][0]["lines"][1]["service"] = "suction"
    path = tmp_path / "suction.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    done = linesizer("size", path, "--propose")
    assert done.code == 0
    assert "Nothing is proposed for line liq: it is not calculated by this version" in " ".join(done.out.split())
    gas, suction = lines_of(linesizer("size", path, "--propose", "--json").out)
    assert gas["proposal"] is not None
    assert suction["proposal"] is None
