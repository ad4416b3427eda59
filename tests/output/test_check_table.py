"""The table of checked files."""

from pathlib import Path

import pytest

from linesizer.domain.finding import Level
from linesizer.errors import JobFileError, Problem
from linesizer.output import check_files
from linesizer.output.check_files import CheckedFile, Want, check_file
from linesizer.output.check_table import check_report

CLEAR = CheckedFile("clear.json", None, "")
NOTED = CheckedFile("noted.json", None, "liq: something to know", notes=2)
ASKING = CheckedFile("asking.json", None, "liq: something to weigh", warns=1, notes=2)
STOPPED = CheckedFile("stopped.json", None, "dis: " + "word " * 60, stops=3)
REFUSED = CheckedFile("refused.json", "all that is wrong", "site: missing")


def test_the_worst_level_is_the_heaviest_that_was_found() -> None:
    assert [file.worst for file in (CLEAR, NOTED, ASKING, STOPPED, REFUSED)] == [
        None,
        Level.NOTE,
        Level.WARN,
        Level.STOP,
        None,
    ]


def test_columns_line_up_and_long_titles_are_cut() -> None:
    lines = check_report((CLEAR, NOTED, ASKING, STOPPED, REFUSED), "si").splitlines()
    column = lines[0].index("file")
    assert [line[column:].split()[0] for line in lines[1:6]] == [
        "clear.json",
        "noted.json",
        "asking.json",
        "stopped.json",
        "refused.json",
    ]
    assert [line.split()[0] for line in lines[2:6]] == ["note", "DECIDE", "STOP", "ERROR"]
    assert lines[4].endswith(" ...")
    assert max(map(len, lines)) < 120


def test_all_are_counted_once() -> None:
    text = check_report((CLEAR, NOTED, ASKING, STOPPED, REFUSED), "si")
    assert "5 files: 1 that cannot be used, 1 with a stop, 1 for a person to decide, 2 else." in text
    assert "1 file: 0 with a stop, 0 for a person to decide, 1 else." in check_report((CLEAR,), "si")
    assert "local codes" in text


@pytest.mark.parametrize(("count", "said"), [(1, "site: none; one"), (3, "site: none; one (and 2 more)")])
def test_a_row_names_the_first_thing_that_is_wrong(count: int, said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: Path, __: object) -> None:
        raise JobFileError(
            "JOB-04", name="x.json", problems=(Problem("site", "none", "one"),) * count, remedy="Mend it."
        )

    monkeypatch.setattr(check_files, "read", refuse)
    file = check_file(Path("x.json"), Want.ROW)
    assert (file.brief, file.json_text) == (said, "")
    assert file.error is not None
    assert file.error.count("site: none; one") == count
