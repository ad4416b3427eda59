"""Jobs that cannot be calculated: one clear error, exit code 2, nothing on standard output, the file untouched."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Refused = Callable[..., str]
Job = dict[str, Any]


def circuit(job: Job) -> Any:
    return job["circuits"][0]


def full(job: Job) -> Any:
    return circuit(job)["conditions"][0]


def discharge(job: Job) -> Any:
    return circuit(job)["lines"][0]


@pytest.mark.parametrize("name", ["R-134a", "134A", "R134"])
def test_unknown_refrigerant_with_near_names(name: str, refused: Refused, job: Job) -> None:
    circuit(job)["refrigerant"] = name
    error = refused(job)
    assert f'circuits[0].refrigerant: no refrigerant named "{name}"' in error
    assert "R134a" in error


def test_temperature_above_the_critical_one(refused: Refused, job: Job) -> None:
    full(job)["condensing_C"] = 102.0
    error = refused(job)
    assert "circuits[0].conditions[0].condensing_C" in error
    # R134a's critical temperature, 101.06 °C: Tillner-Roth and Baehr 1994 (from memory).
    assert "critical temperature of R134a, 101.1 °C" in error


def test_temperature_outside_the_table(refused: Refused, job: Job) -> None:
    full(job)["evaporating_C"] = -60.0
    error = refused(job)
    assert "circuits[0].conditions[0].evaporating_C" in error
    assert "-50.0 °C" in error


def test_supercritical_carbon_dioxide_is_refused_with_the_reason(refused: Refused, job: Job) -> None:
    circuit(job)["refrigerant"] = "R744"
    error = refused(job)
    # 50 °C is above R744's critical temperature of 30.98 °C (Span and Wagner 1996, from memory).
    assert "critical temperature of R744, 31.0 °C" in error
    assert "only subcritical" in error


def test_leg_of_no_length(refused: Refused, job: Job) -> None:
    discharge(job)["nodes"]["n3"] = discharge(job)["nodes"]["n2"]
    error = refused(job)
    assert "circuits[0].lines[0].legs[1]" in error
    assert "length" in error


def test_negative_length_of_a_part(refused: Refused, job: Job) -> None:
    discharge(job)["legs"][0]["parts"][0]["loss"] = {"equivalent_length_m": -2.0}
    error = refused(job)
    assert "circuits[0].lines[0].legs[0].parts[0].loss.equivalent_length_m: -2" in error


@pytest.mark.parametrize("capacity", [0.0, -1000.0])
def test_capacity_of_nothing(capacity: float, refused: Refused, job: Job) -> None:
    full(job)["capacity_W"] = capacity
    error = refused(job)
    assert "circuits[0].conditions[0].capacity_W" in error
    assert "above 0" in error


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_numbers_that_are_none(number: str, refused: Refused, job: Job) -> None:
    full(job)["capacity_W"] = 105000.0
    error = refused(json.dumps(job).replace("105000.0", number).encode())
    assert "circuits[0].conditions[0].capacity_W" in error
    assert "finite" in error or "number" in error


def test_size_that_the_catalogue_has_not(refused: Refused, job: Job) -> None:
    discharge(job)["legs"][2]["size"] = "1-5/9"
    error = refused(job)
    assert 'circuits[0].lines[0].legs[2].size: "1-5/9" is no size of ASTM-B280-drawn' in error
    assert "1-5/8" in error


def test_leg_to_a_missing_node(refused: Refused, job: Job) -> None:
    discharge(job)["legs"][3]["to"] = "n9"
    error = refused(job)
    assert 'circuits[0].lines[0].legs[3].to: no node named "n9"; nodes of this line: n1 to n5' in error


def test_loop(refused: Refused, job: Job) -> None:
    discharge(job)["legs"].append({"id": "d5", "from": "n5", "to": "n2", "size": "1-5/8"})
    error = refused(job)
    assert "circuits[0].lines[0]" in error
    assert "loop" in error


def test_two_legs_of_one_line_at_one_place(refused: Refused, job: Job) -> None:
    discharge(job)["nodes"]["n6"] = [0.0, 0.0, 5.0]
    discharge(job)["legs"].append({"id": "d5", "from": "n1", "to": "n6", "size": "1-5/8"})
    error = refused(job)
    assert 'circuits[0].lines[0].legs[0]: leg "d1" lies on leg "d5"' in error


def test_bypass_that_eats_all_cooling(refused: Refused, job: Job) -> None:
    # Only solving can tell this one, not reading.
    full(job)["bypass"] = 0.95
    error = refused(job)
    assert "Full load, summer" in error
    assert "bypass" in error.lower()


def test_everything_wrong_is_listed_at_once(refused: Refused, job: Job) -> None:
    circuit(job)["refrigerant"] = "R999"
    full(job)["capacity_W"] = 0.0
    discharge(job)["legs"][3]["to"] = "n9"
    error = refused(job)
    for place in ("circuits[0].refrigerant", "circuits[0].conditions[0].capacity_W", "circuits[0].lines[0].legs[3].to"):
        assert place in error


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "nothing in it"),
        (b"\x00\xff\xfe\x80", "UTF-8"),
        (b"tube,size\n7/8,3\n", "line 1"),
        (b'{"format": "remote-condenser-job",\n "version": 1,,}', "line 2"),
        (b"[1, 2]", "not a job"),
        (b"[" * 100_000 + b"]" * 100_000, "nest"),
        (b'{"a":' * 100_000 + b"1" + b"}" * 100_000, "nest"),
        (b'{"format": "remote-condenser-job", "version": 1, "version": 1, "circuits": []}', "twice"),
        (b'{"format": "remote-condenser-job", "version": 1, "circuits": []}', "circuits"),
        (b'{"format": "another-format", "version": 1}', "format"),
        (b'{"format": "remote-condenser-job", "version": "one"}', "version"),
        (b'{"format": "remote-condenser-job", "version": 0}', "version"),
        (b'{"format": "remote-condenser-job", "version": 2}', "newer program"),
        (b'{"format": "remote-condenser-job"}', "version: missing"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_files_that_hold_no_job(content: bytes, said: str, refused: Refused) -> None:
    error = refused(content)
    assert said in error
    assert len(error) < 1000


def test_duplicate_key_deep_inside(refused: Refused, job: Job) -> None:
    text = json.dumps(job).replace('"capacity_W": 26000.0', '"capacity_W": 26000.0, "capacity_W": 30000.0')
    error = refused(text.encode())
    assert "capacity_W" in error
    assert "twice" in error


def test_unknown_key_is_a_note_and_no_error(linesizer: Callable[..., Any], job: Job, tmp_path: Path) -> None:
    circuit(job)["refrigerantt"] = "R22"
    path = tmp_path / "plant.json"
    path.write_text(json.dumps(job), encoding="utf-8")
    done = linesizer("size", path)
    assert done.code == 0
    assert done.err.count("linesizer: ") == 1
    assert "circuits[0].refrigerantt: unknown key" in done.err
    assert done.out.startswith("Tarnwell Dairy")
