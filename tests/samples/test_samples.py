"""Every sample opens, is in canonical form, fits the schema, solves, and teaches what it is there to teach."""

import json
import math
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from linesizer.domain.ends import tied_ends
from linesizer.domain.finding import Finding, Level
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.resources import resource
from linesizer.domain.result import Result
from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.storage.job_file import canonical, read

ROOT = Path(__file__).parent.parent.parent
SAMPLES = sorted((ROOT / "samples").glob("*.json"))
every_sample = pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)


@cache
def result_of(name: str) -> Result:
    return solve(read(ROOT / "samples" / f"{name}.json").job)


def found(name: str, *levels: Level) -> list[Finding]:
    return [finding for finding in result_of(name).findings if finding.level in levels]


def schema(name: str) -> Draft202012Validator:
    return Draft202012Validator(json.loads(resource("schema", name).read_bytes()))


def test_the_samples_are_those_that_are_known_here() -> None:
    assert [path.stem for path in SAMPLES] == [
        "condenser-above",
        "condenser-below",
        "tall-riser-part-load",
        "two-condensers",
    ]


@every_sample
def test_opens_without_a_note_and_in_canonical_form(path: Path) -> None:
    file = read(path)
    assert file.notes == ()
    assert canonical(file.job) == path.read_bytes() == file.raw


@every_sample
def test_fits_the_shipped_schema(path: Path) -> None:
    schema("job.schema.json").validate(json.loads(path.read_bytes()))


@every_sample
def test_its_result_fits_the_schema_and_holds_finite_numbers(path: Path) -> None:
    rows = result_of(path.stem).as_dict()
    schema("result.schema.json").validate(json.loads(json.dumps(rows, allow_nan=False)))


@every_sample
def test_every_line_is_calculated(path: Path) -> None:
    for circuit in result_of(path.stem).circuits:
        assert {line.line.service.value for line in circuit.lines} == {"discharge", "liquid"}
        assert circuit.charge.total_kg is not None
        for line in circuit.lines:
            assert line.flow is not None
            assert line.sweep is not None
            assert bool(line.flow.passes_flow.all())
            assert any(rule is None for rule in line.sweep.excluded_by) or any(
                finding.level is Level.STOP for finding in circuit.findings
            )


@every_sample
def test_its_energy_balance_closes(path: Path) -> None:
    """What the condenser gives off is the cooling, the suction's heat and the compressor's work (no bypass here)."""
    for circuit in result_of(path.stem).circuits:
        table = load(circuit.circuit.refrigerant)
        for index, condition in enumerate(circuit.circuit.conditions):
            assert condition.bypass == 0.0
            flow = float(circuit.conditions.mass_flow_kg_s[index])
            pressure = float(circuit.conditions.evaporating_Pa[index])
            evaporator = float(table.dew_temperature(pressure)) + condition.superheat_K
            ends = table.vapour_pt(pressure, [evaporator, evaporator + condition.suction_heat_K]).enthalpy_J_kg
            gained = condition.capacity_W + flow * float(ends[1] - ends[0])
            gained += float(circuit.conditions.compressor_W[index])
            assert math.isclose(gained, float(circuit.conditions.heat_rejection_W[index]), rel_tol=1e-6)


def test_condenser_above_is_all_well() -> None:
    assert found("condenser-above", Level.STOP, Level.WARN) == []
    for circuit in result_of("condenser-above").circuits:
        for line in circuit.lines:
            assert line.sweep is not None
            drawn = line.legs.sizes if line.legs is not None else ()
            assert {line.sweep.excluded_by[line.sweep.sizes.index(size)] for size in drawn} == {None}


def test_tall_riser_loses_its_oil_at_the_low_condition_alone() -> None:
    stops = found("tall-riser-part-load", Level.STOP)
    assert stops
    # The worst is a corner that no condition states: the least load against the design's condensing pressure.
    assert {(finding.code, finding.condition) for finding in stops} == {("oil_return_short", None)}
    assert all("design condensing with least load" in finding.message() for finding in stops)
    (circuit,) = result_of("tall-riser-part-load").circuits
    conditions = [condition.id for condition in circuit.circuit.conditions]
    (line,) = (line for line in circuit.lines if line.line.id == stops[0].line)
    assert line.legs is not None
    ratios = line.legs.oil_return_ratio[line.legs.climbs]
    assert ratios[:, conditions.index("low")].max() < 1.0
    assert (line.legs.corner_ratio[line.legs.climbs].min(axis=1) < ratios[:, conditions.index("low")]).all()
    assert ratios[:, conditions.index("full")].min() > 1.25
    assert {finding.leg for finding in stops} <= {
        leg for leg, up in zip(line.legs.ids, line.legs.climbs, strict=True) if up
    }


def test_tall_riser_has_no_single_size_that_serves_both_conditions() -> None:
    # What brings the oil up at the least load costs too much at full load: hence double risers.
    (circuit,) = result_of("tall-riser-part-load").circuits
    sweep = circuit.lines[0].sweep
    assert sweep is not None
    assert None not in sweep.excluded_by


def test_condenser_below_boils_by_lift_before_all() -> None:
    (stop,) = found("condenser-below", Level.STOP)
    assert stop.code == "flashing_before_valve"
    figures: dict[str, Any] = dict(stop.figures)
    assert figures["lift"].value > figures["tube"].value + figures["parts"].value
    (circuit,) = result_of("condenser-below").circuits
    (line,) = (line for line in circuit.lines if line.line.id == stop.line)
    assert line.flow is not None
    assert line.rise_m > 0.0
    index = [condition.id for condition in circuit.circuit.conditions].index(stop.condition)
    rest = line.flow.drop_Pa[index] - line.flow.static_Pa[index]
    assert line.flow.static_Pa[index] > rest > 0.0
    # A larger tube cannot help against lift: no size of the catalogue keeps the liquid whole.
    assert line.sweep is not None
    assert set(line.sweep.excluded_by) <= {"liquid_margin_stop_K", "flow_does_not_pass"}


def test_two_condensers_stand_on_a_sound_tree_with_drops_behind_their_outlets() -> None:
    """The discharge line spreads and the liquid line gathers, each with one tee; every outlet drops 0.6 m or more."""
    (circuit,) = read(ROOT / "samples" / "two-condensers.json").job.circuits
    dis, liq = circuit.lines
    assert (line_geometry(dis).shape, line_geometry(liq).shape) == (Shape.SPREADS, Shape.GATHERS)
    ends = {line.id: {end.node: end.equipment for end in tied_ends(circuit, line)} for line in circuit.lines}
    named = {name: {node: item.id for node, item in each.items() if item is not None} for name, each in ends.items()}
    assert set(named["dis"].values()) == set(named["liq"].values()) == {"unit", "cond1", "cond2"}
    first = {leg.leg.start: leg for leg in line_geometry(liq).legs if leg.leg.start in line_geometry(liq).sources}
    assert len(first) == 2
    assert all(leg.rise_m <= -0.6 for leg in first.values())
    to_tee = {
        name: sum(g.length_m for g in line_geometry(dis).legs if g.leg.id in path)
        for name, path in {"cond1": ("d5", "d6"), "cond2": ("d7", "d8")}.items()
    }
    assert to_tee["cond1"] < to_tee["cond2"]


def test_two_condensers_are_all_well_and_the_near_one_takes_a_little_more() -> None:
    """Their own ways differ by 1 m of gas line and 7 m of liquid line, of the same sizes; the condensers are the same.

    A condenser takes 15 kPa and its own legs some 8 kPa, all with the square of the flow: a fifth more length of the
    latter moves the split by a few hundredths, not more.
    """
    assert found("two-condensers", Level.STOP, Level.WARN) == []
    (circuit,) = result_of("two-condensers").circuits
    for line in circuit.lines:
        near, far = line.branches
        assert (near.equipment, far.equipment) == ("cond1", "cond2")
        assert (near.share + far.share).tolist() == pytest.approx([1.0, 1.0])
        assert ((near.share > 0.5) & (near.share < 0.55)).all()


def test_the_sample_that_the_first_command_runs_is_there() -> None:
    runner = (ROOT / "samples" / "run.py").read_text(encoding="utf-8")
    assert any(f'"{path.name}"' in runner for path in SAMPLES)
    include = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["hatch"]["build"]
    assert "samples" in include["targets"]["wheel"]["only-include"]
