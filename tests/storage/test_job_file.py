"""Reading: everything wrong in one error, in words, each with its path; nothing else escapes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linesizer.errors import JobFileError
from linesizer.storage import job_file
from tests.storage.samples import EXAMPLE_BYTES, as_bytes, example, problems_of, put
from tests.storage.strategies import json_values

LEG = "circuits.0.lines.0.legs.3"
FULL = "circuits.0.conditions.0"
LINE = "circuits.0.lines.0"

WRONG_VALUES: list[tuple[str, Any, str, str, str]] = [
    # where, what is put there, path reported, found, allowed
    (f"{FULL}.capacity_W", 0, "circuits[0].conditions[0].capacity_W", '0 for condition "Full load, summer"', "above 0"),
    (f"{FULL}.capacity_W", -5.0, "circuits[0].conditions[0].capacity_W", "-5 for", "a number above 0 and up to 1"),
    (f"{FULL}.capacity_W", "much", "circuits[0].conditions[0].capacity_W", '"much" for', "W (the net cooling)"),
    (f"{FULL}.capacity_W", True, "circuits[0].conditions[0].capacity_W", "true for", "a number above 0"),
    (f"{FULL}.capacity_W", [1], "circuits[0].conditions[0].capacity_W", "a list of 1 for", "a number above 0"),
    (f"{FULL}.capacity_W", 10**400, "circuits[0].conditions[0].capacity_W", "too large", "a number above 0"),
    (f"{FULL}.capacity_W", ..., "circuits[0].conditions[0].capacity_W", "missing from condition", "a number above 0"),
    (f"{FULL}.condensing_C", ..., "circuits[0].conditions[0].condensing_C", "missing", "from -120 to 150 °C"),
    (f"{FULL}.condensing_C", -300, "circuits[0].conditions[0].condensing_C", "-300", "from -120 to 150 °C"),
    (f"{FULL}.superheat_K", -1, "circuits[0].conditions[0].superheat_K", "-1", "from 0 to 100 K"),
    (f"{FULL}.subcooling_K", 61, "circuits[0].conditions[0].subcooling_K", "61", "from 0 to 60 K"),
    (f"{FULL}.suction_heat_K", -1, "circuits[0].conditions[0].suction_heat_K", "-1", "from 0 to 100 K"),
    (f"{FULL}.suction_heat_K", None, "circuits[0].conditions[0].suction_heat_K", "null", "leave the key out"),
    (f"{FULL}.bypass", 1, "circuits[0].conditions[0].bypass", "1 for", "of at least 0 and below 1"),
    (f"{FULL}.ambient_C", 1000, "circuits[0].conditions[0].ambient_C", "1000", "or null"),
    (f"{FULL}.isentropic_efficiency", 0, "circuits[0].conditions[0].isentropic_efficiency", "0", "above 0 and up to 1"),
    (f"{FULL}.hours_per_year", 9000, "circuits[0].conditions[0].hours_per_year", "9000", "from 0 to 8784"),
    (f"{FULL}.subcooling_at", "liquid", "circuits[0].conditions[0].subcooling_at", '"liquid"', "nearest: liquid_line"),
    (f"{FULL}.discharge_C", 500, "circuits[0].conditions[0].discharge_C", "500", "from -50 to 300 °C"),
    ("circuits.0.compressor.drive_efficiency", 1.1, "circuits[0].compressor.drive_efficiency", "1.1", "up to 1"),
    ("circuits.0.compressor.kind", "scrol", "circuits[0].compressor.kind", '"scrol"', "nearest: scroll"),
    ("circuits.0.compressor", None, "circuits[0].compressor", "null", "an object"),
    ("circuits.0.use", "cooling", "circuits[0].use", '"cooling"', "one of process, comfort, commercial"),
    ("circuits.0.heat_exchange", "yes", "circuits[0].heat_exchange", '"yes"', "true or false"),
    ("circuits.0.film_density_kg_m3", 0, "circuits[0].film_density_kg_m3", "0", "2000 kg/m³, or null"),
    ("circuits.0.maximum_pressure_Pa", 25, "circuits[0].maximum_pressure_Pa", "25", "Pa (absolute)"),
    ("circuits.0.oil", 3, "circuits[0].oil", "3 for circuit", "text in quotation marks, or null"),
    ("circuits.0.conditions", [], "circuits[0].conditions", "an empty list", "a list [ ] of conditions, at least one"),
    ("circuits.0.conditions", {}, "circuits[0].conditions", "an object", "a list [ ] of conditions"),
    ("circuits.0.conditions.1", "low", "circuits[0].conditions[1]", '"low"', "an object"),
    ("circuits", [], "circuits", "an empty list", "at least one"),
    ("circuits", ..., "circuits", "missing", "a list [ ] of circuits"),
    ("circuits.0.id", ..., "circuits[0].id", 'missing from circuit "Circuit 1"', "a text of 1 to 64 characters"),
    ("circuits.0.id", "", "circuits[0].id", '""', "a text of 1 to 64 characters"),
    ("circuits.0.id", " c1", "circuits[0].id", '" c1"', "without blanks at its ends"),
    ("circuits.0.id", "c" * 65, "circuits[0].id", "…", "1 to 64"),
    ("circuits.0.equipment.1.id", "a:b", "circuits[0].equipment[1].id", '"a:b"', "without a colon"),
    ("circuits.0.equipment.1.role", "fan", "circuits[0].equipment[1].role", '"fan"', "unit, condenser, receiver"),
    ("circuits.0.equipment.1.at_m", [1, 2], "circuits[0].equipment[1].at_m", "a list of 2", "three numbers"),
    ("circuits.0.equipment.1.at_m", [1, 2, 3, 4], "circuits[0].equipment[1].at_m", "a list of 4", "three numbers"),
    ("circuits.0.equipment.1.at_m", [1, "2", 3], "circuits[0].equipment[1].at_m[1]", '"2"', "from -10000 to 10000 m"),
    ("circuits.0.equipment.1.volume_m3", -1, "circuits[0].equipment[1].volume_m3", "-1", "from 0 to 1000 m³"),
    ("circuits.0.equipment.1.mean_liquid_fraction", 2, "circuits[0].equipment[1].mean_liquid_fraction", "2", "0 to 1"),
    ("circuits.0.equipment.1.share", 0, "circuits[0].equipment[1].share", "0", "above 0 and up to 1"),
    ("circuits.0.equipment.0.holds_kg", -1, "circuits[0].equipment[0].holds_kg", "-1", "from 0 to 100000 kg"),
    ("circuits.0.equipment.2.kind", "thru", "circuits[0].equipment[2].kind", '"thru"', "through, surge, or null"),
    ("circuits.0.equipment.0.connections.liquid", 7, "circuits[0].equipment[0].connections.liquid", "7", "text"),
    (f"{LINE}.service", "hot gas", "circuits[0].lines[0].service", '"hot gas" for line "dis"', "one of discharge"),
    (f"{LINE}.nodes", ..., "circuits[0].lines[0].nodes", 'missing from line "dis"', "an object"),
    (f"{LINE}.legs", ..., "circuits[0].lines[0].legs", 'missing from line "dis"', "a list [ ] of legs"),
    (f"{LINE}.nodes.n2", "up", "circuits[0].lines[0].nodes.n2", '"up" for line "dis"', "three numbers"),
    (f"{LINE}.nodes.n2", [0, 0, 1e9], "circuits[0].lines[0].nodes.n2[2]", "1000000000", "from -10000 to 10000 m"),
    (f"{LINE}.ends.n1", 5, "circuits[0].lines[0].ends.n1", "5", "text"),
    (f"{LINE}.fittings.n3", "trap", "circuits[0].lines[0].fittings.n3", '"trap"', "an object"),
    (f"{LINE}.listed_rating_Pa", 40, "circuits[0].lines[0].listed_rating_Pa", "40", "Pa (gauge), or null"),
    (f"{LEG}.insulation_m", 19, "circuits[0].lines[0].legs[3].insulation_m", '19 for leg "d4"', "from 0 to 1 m"),
    (f"{LEG}.insulation_W_mK", 0, "circuits[0].lines[0].legs[3].insulation_W_mK", "0", "W/(m K), or null"),
    (f"{LEG}.fall", 0.6, "circuits[0].lines[0].legs[3].fall", "0.6", "metres down a metre"),
    (f"{LEG}.joint", "glued", "circuits[0].lines[0].legs[3].joint", '"glued"', "one of brazed, mechanical, welded"),
    (f"{LEG}.size", 7, "circuits[0].lines[0].legs[3].size", '7 for leg "d4"', "text"),
    (f"{LEG}.from", ..., "circuits[0].lines[0].legs[3].from", 'missing from leg "d4"', "text"),
    ("circuits.0.lines.0.legs.0.parts.0.at", 1.5, "circuits[0].lines[0].legs[0].parts[0].at", "1.5 for part", "0 to 1"),
    (
        "circuits.0.lines.0.legs.2.double_riser.seal_m",
        -1,
        "circuits[0].lines[0].legs[2].double_riser.seal_m",
        "-1",
        "m",
    ),
    ("site.altitude_m", 20000, "site.altitude_m", "20000", "from -500 to 9000 m"),
    ("site.summer_ambient_C", "hot", "site.summer_ambient_C", '"hot"', "from -90 to 90 °C, or null"),
    ("site.electricity_price_kWh", -1, "site.electricity_price_kWh", "-1", "from 0"),
    ("site.rooms.0.volume_m3", 0, "site.rooms[0].volume_m3", '0 for room "Plant room"', "above 0"),
    ("job.title", None, "job.title", "null", "text"),
    ("job.date", "24.11.2026", "job.date", '"24.11.2026"', 'a date such as "2026-11-24"'),
    ("job.date", "2026-02-30", "job.date", "no day of the calendar", "a date"),
    ("review.comments", {}, "review.comments", "an object", "a list"),
    ("practice.overrides", [], "practice.overrides", "an empty list", "an object"),
]


@pytest.mark.parametrize(("where", "value", "path", "found", "allowed"), WRONG_VALUES)
def test_a_wrong_value_is_one_problem_in_words(where: str, value: Any, path: str, found: str, allowed: str) -> None:
    document = example()
    put(document, where, value)
    problem, *others = [one for one in problems_of(document) if one.path == path]
    assert others == []
    assert found in problem.found
    assert allowed in problem.allowed
    assert "Input should" not in str(problem)


def test_the_sentence_is_the_one_that_the_format_shows() -> None:
    document = example()
    nodes = {f"n{index}": [float(index), 0.0, 0.0] for index in range(1, 9)}
    legs = [{"id": f"l{index}", "from": f"n{index}", "to": f"n{index + 1}"} for index in range(1, 8)]
    line = {"id": "liq", "service": "liquid", "nodes": nodes, "legs": legs}
    document["circuits"][0]["lines"].append(line)
    put(line, "legs.3.to", "n9")
    assert [str(problem) for problem in problems_of(document)] == [
        'circuits[0].lines[1].legs[3].to: no node named "n9"; nodes of this line: n1 to n8'
    ]


def test_everything_wrong_is_listed_in_the_order_of_the_file() -> None:
    document = example()
    put(document, "site.rooms.0.volume_m3", "big")
    put(document, "practice.overrides", {"discharge_penalty_K": "small"})
    put(document, "circuits.0.refrigerant", "R134")
    put(document, "circuits.0.conditions.0.capacity_W", ...)
    put(document, "circuits.0.conditions.1.evaporating_C", 40.0)
    put(document, "circuits.0.lines.0.nodes.n3", [6.0, 0.0])
    put(document, "circuits.0.lines.0.legs.0.size", "1-5/9")
    put(document, "circuits.0.lines.0.legs.3.to", "n9")
    put(document, "circuits.0.charge_condition", "winter")
    assert [problem.path for problem in problems_of(document)] == [
        "site.rooms[0].volume_m3",
        "practice.overrides.discharge_penalty_K",
        "circuits[0].refrigerant",
        "circuits[0].conditions[0].capacity_W",
        "circuits[0].conditions[1].evaporating_C",
        "circuits[0].charge_condition",
        "circuits[0].lines[0].nodes.n3",
        "circuits[0].lines[0].legs[0].size",
        "circuits[0].lines[0].legs[3].to",
    ]


def test_the_error_reads_as_one_text() -> None:
    document = example()
    put(document, "circuits.0.conditions.0.capacity_W", 0)
    with pytest.raises(JobFileError) as caught:
        job_file.parse(as_bytes(document), "plant.json")
    text = str(caught.value)
    assert text.startswith(
        "plant.json cannot be used: 1 thing to put right.\n  circuits[0].conditions[0].capacity_W: 0"
    )
    assert caught.value.code == "JOB-04"


def test_a_mistyped_required_key_is_pointed_at() -> None:
    document = example()
    condition = document["circuits"][0]["conditions"][0]
    condition["capcity_W"] = condition.pop("capacity_W")
    (problem,) = problems_of(document)
    assert problem.found == 'missing from condition "Full load, summer", which has "capcity_W"'


def test_unknown_keys_are_noted_once_each() -> None:
    document = example()
    document["circuits"][0]["isolation"] = 1
    for leg in document["circuits"][0]["lines"][0]["legs"]:
        leg["insulation_mm"] = 19
    document["circuits"][0]["lines"][0]["fittings"]["n2"]["seen"] = True
    assert job_file.parse(as_bytes(document), "x").notes == (
        "circuits[0].isolation: unknown key, kept as it is and not used",
        "circuits[0].lines[0].fittings.n2.seen: unknown key, kept as it is and not used",
        "circuits[0].lines[0].legs[0].insulation_mm (and 3 more like it): unknown key, kept as it is and not used; "
        "did you mean insulation_m?",
    )
    assert job_file.parse(EXAMPLE_BYTES, "x").notes == ()


def test_a_flood_of_unknown_keys_is_counted() -> None:
    document = example() | {f"x{index}": index for index in range(150)}
    notes = job_file.parse(as_bytes(document), "x").notes
    assert len(notes) == 101
    assert notes[-1] == "50 more unknown keys, kept as they are and not used"


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999", "9" * 5000])
@pytest.mark.parametrize(
    "where", ["circuits.0.conditions.0.bypass", "record.0", "extra", "practice.overrides.mach_limit"]
)
def test_numbers_that_are_not_finite_are_refused_wherever_they_stand(number: str, where: str) -> None:
    document = example()
    document["record"] = [0]
    put(document, where, "HERE")
    data = as_bytes(document).replace(b'"HERE"', number.encode())
    (problem,) = problems_of(data)
    assert problem.path == where.replace(".0", "[0]")
    assert "NaN" in problem.found or "too large" in problem.found


def test_whole_numbers_too_long_to_hold_are_refused_as_version_too() -> None:
    (problem,) = problems_of(b'{"format": "remote-condenser-job", "version": ' + b"9" * 5000 + b"}")
    assert problem.path == "version"


@pytest.mark.parametrize(
    ("document", "path", "found"),
    [
        ([], "file", "a list of 0 in JSON, not a job"),
        (3, "file", "3 in JSON"),
        (None, "file", "null in JSON"),
        ({}, "format", "missing"),
        ({"format": "remote-condenser-result"}, "format", '"remote-condenser-result"'),
        ({"format": "remote-condenser-job"}, "version", "missing"),
        ({"format": "remote-condenser-job", "version": "1"}, "version", '"1"'),
        ({"format": "remote-condenser-job", "version": True}, "version", "true"),
        ({"format": "remote-condenser-job", "version": 1.0}, "version", "1"),
        ({"format": "remote-condenser-job", "version": 0}, "version", "0"),
        ({"format": "remote-condenser-job", "version": -1}, "version", "-1"),
        ({"format": "remote-condenser-job", "version": 2}, "version", "version 2"),
    ],
)
def test_what_is_no_job_of_this_version_is_one_problem(document: object, path: str, found: str) -> None:
    (problem,) = problems_of(document)
    assert problem.path == path
    assert found in problem.found


def test_a_newer_version_is_said_to_be_newer() -> None:
    (problem,) = problems_of(example() | {"version": 7, "circuits": "in a new way"})
    assert str(problem) == (
        "version: version 7; up to version 1; the file was written by a newer program, which is needed to open it"
    )


def test_a_flood_of_mistakes_is_cut_and_said_to_be_cut() -> None:
    document = example()
    put(document, "circuits.0.lines.0.legs", [7] * 3000)
    problems = problems_of(document)
    assert len(problems) == 1001
    assert problems[-1].found == "more is wrong than is listed here"


@pytest.mark.parametrize(
    ("opening", "filling"),
    [
        (b'"lines": [', b"1,"),
        (b'"rooms": [', b"{},"),
        (b'"legs": [', b"{},"),
        (b'"overrides": {', b'"%d":1,'),
        (b'"connections": {', b'"%d":1,'),
        (b'"nodes": {', b'"%d":1,'),
    ],
)
def test_more_items_than_any_job_has_are_refused_before_they_are_checked(opening: bytes, filling: bytes) -> None:
    filled = b"".join(filling.replace(b"%d", b"%d" % index) for index in range(60_000))
    data = EXAMPLE_BYTES.replace(opening, opening + filled)
    (problem,) = problems_of(data)
    assert problem.found == "more than 50000 legs, nodes, conditions and the like"


@given(json_values)
@settings(max_examples=200, deadline=None)
def test_any_json_value_is_refused_in_words(value: object) -> None:
    assert all(problem.found and problem.allowed for problem in problems_of(value))


@given(st.data())
@settings(max_examples=300, deadline=None)
def test_any_value_anywhere_is_taken_or_refused_in_words(data: st.DataObject) -> None:
    document: Any = example()
    holder, step = document, "circuits"
    while data.draw(st.integers(0, 3)) and isinstance(holder[step], dict | list) and holder[step]:
        holder = holder[step]
        step = data.draw(st.sampled_from(sorted(holder) if isinstance(holder, dict) else range(len(holder))))
    holder[step] = data.draw(json_values)
    try:
        read = job_file.parse(as_bytes(document), "x")
    except JobFileError:
        assert all("Input should" not in str(problem) for problem in problems_of(document))
    else:
        assert job_file.parse(job_file.canonical(read.job), "y").job == read.job


def test_every_refrigerant_named_wrongly_gets_near_names() -> None:
    document = example()
    put(document, "circuits.0.refrigerant", "R-134A")
    (problem,) = problems_of(document)
    assert problem.path == "circuits[0].refrigerant"
    assert problem.found == 'no refrigerant named "R-134A"'
    assert problem.allowed.startswith("near names: R134a")


def test_reading_names_the_file_and_keeps_its_bytes(tmp_path: Path) -> None:
    path = tmp_path / "plant.json"
    path.write_bytes(EXAMPLE_BYTES)
    read = job_file.read(path)
    assert read.path == path
    assert read.raw == EXAMPLE_BYTES
    assert job_file.read(str(path)).job == job_file.read_job(path) == read.job


def test_problems_of_a_job_in_hand_are_those_of_its_file() -> None:
    document = example()
    job = job_file.parse(as_bytes(document), "x").job
    assert job_file.problems(job) == ()
    import dataclasses

    circuit = dataclasses.replace(job.circuits[0], charge_condition="winter", refrigerant="R999")
    spoilt = dataclasses.replace(job, circuits=(circuit,))
    assert [problem.path for problem in job_file.problems(spoilt)] == [
        "circuits[0].refrigerant",
        "circuits[0].charge_condition",
    ]
    assert json.loads(job_file.canonical(spoilt))["circuits"][0]["refrigerant"] == "R999"
