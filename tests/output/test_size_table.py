"""A solved job as text for a terminal."""

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from linesizer import read_job, solve
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.circuit import HeadPressureControlKind
from linesizer.domain.job import Job
from linesizer.domain.result import Result
from linesizer.domain.route import Service
from linesizer.output.size_table import size_report
from linesizer.output.text_columns import WIDTH, table_text
from linesizer.units import SYSTEMS, Kind, System, display

SAMPLES = sorted((Path(__file__).parent.parent.parent / "samples").glob("*.json"))
FIRST = next(path for path in SAMPLES if path.stem == "condenser-above")


@cache
def solved(path: Path) -> Result:
    return solve(read_job(path))


def rows_after(head: str, text: str) -> list[str]:
    """The lines of a table from below its head to the next blank or title."""
    lines = text.splitlines()
    start = next(number for number, line in enumerate(lines) if line.startswith(head))
    end = next((number for number, line in enumerate(lines[start:], start) if not line), len(lines))
    return lines[start + 1 : end]


def with_lines(job: Job, **changes: object) -> Job:
    """The job with its lines' legs changed."""
    circuits = tuple(
        replace(
            circuit,
            lines=tuple(
                replace(line, default_size=None, legs=tuple(replace(leg, **changes) for leg in line.legs))
                for line in circuit.lines
            ),
        )
        for circuit in job.circuits
    )
    return replace(job, circuits=circuits)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("system", SYSTEMS)
def test_holds_the_job_and_nothing_unreadable(path: Path, system: System) -> None:
    result = solved(path)
    text = size_report(result, system)
    assert text.startswith(result.job.info.title)
    assert text.endswith("\n")
    assert not re.search(r"\bnan\b|\binf\b|None|[{}]", text)
    for circuit in result.circuits:
        assert circuit.circuit.refrigerant in text
        for condition in circuit.circuit.conditions:
            assert condition.title in text
        for finding in circuit.findings:
            assert finding.title in text
            assert " ".join(finding.message(system).split()) in " ".join(text.split())


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_size_of_the_tube_stands_in_the_table(path: Path) -> None:
    result = solved(path)
    sections = size_report(result, "si").split("The whole line at one size")[1:]
    lines = [line for circuit in result.circuits for line in circuit.lines]
    for section, line in zip(sections, lines, strict=True):
        rows = rows_after("size", section)
        assert [row.split()[0] for row in rows] == list(tube_catalogue(line.line.tube).size_names)
        assert line.legs is not None
        drawn = [size for size in tube_catalogue(line.line.tube).size_names if size in line.legs.sizes]
        assert [row.split()[0] for row in rows if row.endswith("< drawn")] == drawn


def test_a_row_shows_what_the_result_holds() -> None:
    line = solved(FIRST).circuits[0].lines[0]
    sweep = line.sweep
    assert line.line.service is Service.DISCHARGE
    assert sweep is not None
    index = sweep.sizes.index("1-3/8")
    for system in SYSTEMS:
        (row,) = (row for row in rows_after("size", size_report(solved(FIRST), system)) if row.startswith("1-3/8"))
        assert row.split()[1:8] == [
            display(kind, float(values[index]), system)
            for kind, values in (
                (Kind.SMALL_LENGTH, sweep.inner_diameter_m),
                (Kind.PRESSURE_DIFFERENCE, sweep.pressure_drop_Pa),
                (Kind.TEMPERATURE_DIFFERENCE, sweep.saturation_penalty_K),
                (Kind.VELOCITY, sweep.velocity_m_s),
                (Kind.RATIO, sweep.oil_return_ratio),
                (Kind.MASS, sweep.charge_kg),
                (Kind.MASS, sweep.tube_mass_kg),
            )
        ]


def test_a_size_that_is_out_says_which_limit_puts_it_out() -> None:
    text = size_report(solved(FIRST), "si")
    rows = {row.split()[0]: row for row in rows_after("size", text)}
    assert rows["1-5/8"].endswith("fits  < drawn")
    assert rows["7/8"].endswith("out: penalty")
    assert rows["4-1/8"].endswith("out: oil return")
    assert rows["3/8"].endswith("out: flow does not pass")


def test_stops_stand_before_notes() -> None:
    (below,) = (path for path in SAMPLES if path.stem == "condenser-below")
    text = size_report(solved(below), "si")
    findings = text[text.index("\nFindings\n") :]
    assert findings.index("\nSTOP ") < findings.index("\nnote ")


def test_a_line_that_the_program_sized_says_so() -> None:
    result = solve(with_lines(read_job(FIRST), size=None))
    text = size_report(result, "si")
    assert "as drawn" not in text
    assert "< drawn" not in text
    assert text.count("as sized") == 2
    used = {size for line in result.circuits[0].lines if line.legs is not None for size in line.legs.sizes}
    rows = [row for row in text.splitlines() if row.endswith("< in use")]
    assert {row.split()[0] for row in rows} == used
    assert text.count("The whole line at one size") == 2
    assert not re.search(r"\bnan\b|None", text)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_sentences_keep_the_width(path: Path) -> None:
    text = size_report(solved(path), "ip")
    for line in text[text.index("\nFindings") :].splitlines():
        assert len(line) <= WIDTH, line


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_warns_and_never_claims_that_anything_complies(path: Path) -> None:
    text = size_report(solved(path), "si")
    assert "local codes" in text
    assert "licensed" in text
    assert not re.search(r"compl(y|ies|iant|iance)|certif|approved|guarantee|\bsafe\b", text, re.IGNORECASE)


def test_columns_of_a_table_line_up() -> None:
    assert table_text([["size", "bore", ""], ["7/8", "19.9", "fits"], ["1-1/8", "26.0", ""]], left=(0, 2)) == (
        "size   bore\n7/8    19.9  fits\n1-1/8  26.0"
    )


def test_winter_flooding_stands_in_the_charge() -> None:
    job = read_job(FIRST)
    (circuit,) = job.circuits
    assert "winter flooding" not in size_report(solve(job), "si")
    control = replace(circuit.head_pressure_control, kind=HeadPressureControlKind.FLOODING)
    equipment = tuple(replace(item, design_td_K=15.0) for item in circuit.equipment)
    flooded = replace(circuit, head_pressure_control=control, equipment=equipment)
    result = solve(replace(job, circuits=(flooded,)))
    charge = result.circuits[0].charge
    assert f"winter flooding {charge.flooding_kg:.2f} kg" in size_report(result, "si")
