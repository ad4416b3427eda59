"""Rows of a spreadsheet read as legs; everything wrong is listed by row."""

from __future__ import annotations

import pytest

from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, Joint, Line
from linesizer.storage import job_file
from linesizer.ui.panels.leg_paste import Pasted, pasted_rows
from linesizer.units import System
from tests.ui.opened import ABOVE, SAMPLES

JOB: Job = job_file.read(SAMPLES / f"{ABOVE}.json").job
LINE: Line = JOB.circuits[0].lines[0]


def pasted(text: str, system: System = "si") -> Pasted:
    return pasted_rows(text, JOB, LINE, system)


def test_rows_without_heads_are_direction_length_size_place() -> None:
    found = pasted("U\t2.2\t1-5/8\tPlant room\nE\t3,5\n")
    assert found.problems == ()
    up, east = found.rows
    assert up.offset_m == (0.0, 0.0, 2.2)
    assert (up.size, up.place) == ("1-5/8", "plant")
    assert east.offset_m == (3.5, 0.0, 0.0)
    assert (east.size, east.place) == (None, None)


def test_heads_in_any_order_with_their_units() -> None:
    found = pasted(
        "place\tlength, ft\tdirection\tjoint\tfall (%)\tinsulation [in]\noutdoor\t10\tnorth\tMechanical\t1\t1/2\n"
    )
    assert found.problems == ()
    row = found.rows[0]
    # 10 ft = 3.048 m and 1/2 in = 12.7 mm, both exact by definition.
    assert row.offset_m == pytest.approx((0.0, 3.048, 0.0))
    assert row.insulation_m == pytest.approx(0.0127)
    assert (row.place, row.joint, row.fall) == ("outdoor", Joint.MECHANICAL, pytest.approx(0.01))


def test_a_unit_in_the_cell_wins_over_the_head() -> None:
    assert pasted("direction\tlength, ft\nU\t2 m").rows[0].offset_m == (0.0, 0.0, 2.0)


def test_a_bare_number_is_in_the_units_of_the_screen() -> None:
    assert pasted("U\t10", "ip").rows[0].offset_m == pytest.approx((0.0, 0.0, 3.048))


def test_one_cell_a_row_is_read_as_runs_are_typed() -> None:
    assert [row.offset_m for row in pasted("U 3.4; E 6\nN 2").rows] == [
        (0.0, 0.0, 3.4),
        (6.0, 0.0, 0.0),
        (0.0, 2.0, 0.0),
    ]


def test_offsets_stand_for_a_slant() -> None:
    assert pasted("direction\tlength\nE 3; U 4\t5").rows[0].offset_m == (3.0, 0.0, 4.0)


def test_two_sizes_are_a_double_riser() -> None:
    rows = pasted("U\t3\t7/8 + 1-3/8, 400\nE\t2\t1-3/8\n").rows
    assert [(row.size, row.double_riser) for row in rows] == [
        (None, DoubleRiser("7/8", "1-3/8", 0.4)),
        ("1-3/8", None),
    ]
    assert pasted("U\t3\t7/8 + 9\n").problems[0].startswith('Row 1: "9" is not a size of')


def test_everything_wrong_is_listed_by_row_and_nothing_is_taken() -> None:
    found = pasted("U\t2.2\nX\t3\nE\t\nN\tfar\nW\t4\t1-7/8\nS\t2\t1-5/8\tattic\nD\t0\n")
    assert found.rows == ()
    numbers = [problem.split(":")[0] for problem in found.problems]
    assert numbers == ["Row 2", "Row 3", "Row 4", "Row 5", "Row 6", "Row 7"]
    assert '"X"' in found.problems[0]
    assert "no length beside east" in found.problems[1]
    assert '"far"' in found.problems[2]
    assert '"1-7/8" is not a size' in found.problems[3]
    assert '"attic" is not a place here' in found.problems[4]
    assert "plant" in found.problems[4]
    assert "length is 0 m" in found.problems[5]


def test_a_direction_without_a_length_is_named_under_heads_too() -> None:
    found = pasted("direction\tlength\tsize\nE\t\t1-5/8\n\t3\t1-5/8\n")
    assert found.problems == (
        "Row 2: There is no length beside east.",
        "Row 3: There is no direction (N, E, S, W, U, D).",
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no rows"),
        ("\n\t\n", "no rows"),
        ("direction\tlength\n", "no row beneath"),
        ("size\tplace\n1-5/8\toutdoor", "no direction and length"),
        ("U\t1\n" * 1001, "1000 are the most"),
    ],
)
def test_a_table_that_is_none_says_why(text: str, words: str) -> None:
    found = pasted(text)
    assert found.rows == ()
    assert words in found.problems[0]


def test_what_is_not_taken_over_is_named() -> None:
    found = pasted("direction\tlength\tparts\tfitting\nU\t2\tball valve\t\n")
    assert found.left_out == ("parts",)
    assert len(found.rows) == 1
