"""Bytes that are no JSON, or JSON that a job file must not hold."""

from __future__ import annotations

import pytest

from linesizer.storage import job_file
from tests.storage.samples import EXAMPLE_BYTES, as_bytes, example, problems_of


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "nothing in it"),
        (b"  \n\t ", "nothing in it"),
        (b"\xef\xbb\xbf", "nothing in it"),
        (b"Dear colleague,", 'not JSON at line 1, column 1: a value is missing before "D"'),
        (b'{"format": "remote-condenser-job"\n "version": 1}', 'line 2, column 2: a comma is missing before "\\""'),
        (b'{"format" "x"}', "a colon is missing"),
        (b'{format: "x"}', 'a key in quotation marks belongs before "f"'),
        (b'{"format": "remote', "a text without its closing quotation mark"),
        (b'{"format": "x",', "the text ends in the middle"),
        (b'{"a": [1, 2', "the text ends in the middle"),
        (b'{"a": 1} {"b": 2}', '"{" after the end of the job'),
        (b'{"a": "x\ny"}', "a line break or another control character"),
        (b"{'a': 1}", 'belongs before "\'"'),
        (b'{"a": nan}', 'a value is missing before "n"'),
        ('{"a": "Größe"}'.encode("latin-1"), "line 1 holds the byte 0xf6, which is not UTF-8"),
        (b'{\n"a": 1,\n"b": "\xff"}', "line 3 holds the byte 0xff"),
        ('{"a": 1}'.encode("utf-16"), "the text is UTF-16"),
        ('{"a": 1}'.encode("utf-32"), "the text is UTF-16"),
        (bytes(range(256)), "not UTF-8"),
    ],
)
def test_what_is_no_json_is_one_problem_with_its_place(data: bytes, found: str) -> None:
    (problem,) = problems_of(data)
    assert problem.path == "file"
    assert found in problem.found


@pytest.mark.parametrize("opening", [b"[", b'{"a":', b'[{"b":'])
@pytest.mark.parametrize("depth", [200, 5_000, 100_000])
def test_deep_nesting_is_refused_without_a_crash(opening: bytes, depth: int) -> None:
    closing = {b"[": b"]", b'{"a":': b"}", b'[{"b":': b"}]"}[opening]
    nest = opening * depth + b"1" + closing * depth
    for data in (nest, opening * depth, as_bytes(example() | {"deep": "HERE"}).replace(b'"HERE"', nest)):
        assert len(problems_of(data)) == 1


def test_nesting_up_to_the_limit_is_kept() -> None:
    nest = b"[" * 99 + b"]" * 99
    data = as_bytes(example() | {"deep": "HERE"}).replace(b'"HERE"', nest)
    read = job_file.parse(data, "x")
    assert job_file.parse(job_file.canonical(read.job), "x").job == read.job
    deeper = data.replace(nest, b"[" * 100 + b"]" * 100)
    (problem,) = problems_of(deeper)
    assert problem.found == "nested deeper than 100 levels"
    assert problem.path.startswith("deep[0][0]")


def test_a_key_that_stands_twice_is_named_with_its_path() -> None:
    data = EXAMPLE_BYTES.replace(b'"id": "d2", ', b'"id": "d2", "size": "7/8", ').replace(
        b'"oil": "POE"', b'"oil": "PVE"'
    )
    data = data.replace(b'"oil": "PVE"', b'"oil": "PVE", "oil": "POE"')
    problems = problems_of(data)
    assert [(problem.path, problem.found) for problem in problems] == [
        ("circuits[0].oil", "the key stands here twice"),
        ("circuits[0].lines[0].legs[1].size", "the key stands here twice"),
    ]


def test_a_node_that_stands_twice_is_a_key_that_stands_twice() -> None:
    data = EXAMPLE_BYTES.replace(b'"n2": [0.0, 0.0, 3.4]', b'"n2": [0.0, 0.0, 3.4], "n2": [0.0, 0.0, 3.5]')
    assert [problem.path for problem in problems_of(data)] == ["circuits[0].lines[0].nodes.n2"]


@pytest.mark.parametrize("where", ['"number": ""', '"record": []'])
def test_half_a_character_is_refused(where: str) -> None:
    key = where.split(":")[0]
    data = EXAMPLE_BYTES.replace(where.encode(), f'{key}: "\\ud83d"'.encode().replace(b'"record": "', b'"record_": "'))
    (problem,) = problems_of(data)
    assert problem.found.startswith("half of a character")


def test_a_whole_character_written_as_escapes_is_taken() -> None:
    data = EXAMPLE_BYTES.replace(b'"number": ""', b'"number": "\\ud83d\\ude00"')
    assert job_file.parse(data, "x").job.info.number == "\N{GRINNING FACE}"


def test_a_byte_order_mark_is_passed_over_and_kept_until_the_first_edit() -> None:
    read = job_file.parse(b"\xef\xbb\xbf" + EXAMPLE_BYTES, "x")
    assert read.raw.startswith(b"\xef\xbb\xbf")
    assert read.notes == ()
    assert job_file.canonical(read.job) == job_file.canonical(job_file.parse(EXAMPLE_BYTES, "x").job)
