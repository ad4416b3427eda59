"""The program in the desktop's menus: three files below one folder, put there and taken away again.

The forms are those of freedesktop.org's specifications (Desktop Entry 1.5, Shared MIME-info 0.21; from memory), and
were once seen to pass its own desktop-file-validate and update-mime-database.
"""

from __future__ import annotations

import configparser
import json
import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from linesizer.cli import main
from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.output.desktop_entry import ENTRY, ICON, PLACES, TYPE, data_home, register, unregister

PYTHON = '/opt/my tools/py"3"/$bin/100%/python'
MIME = "{http://www.freedesktop.org/standards/shared-mime-info}"
SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.json"))


def entry(home: Path) -> configparser.SectionProxy:
    parser = configparser.RawConfigParser()
    parser.optionxform = str  # type: ignore[assignment,method-assign]  # keys have capitals
    parser.read(home / ENTRY, encoding="utf-8")
    return parser["Desktop Entry"]


def test_three_files_are_written_and_taken_away_again(tmp_path: Path) -> None:
    assert register(tmp_path, PYTHON, "linux") == tuple(tmp_path / place for place in PLACES)
    written = sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("linesizer*"))
    assert written == sorted(PLACES)
    assert unregister(tmp_path, "linux") == tuple(tmp_path / place for place in PLACES)
    assert list(tmp_path.rglob("linesizer*")) == []
    assert unregister(tmp_path, "linux") == ()


def test_the_entry_starts_this_very_python_whatever_its_path(tmp_path: Path) -> None:
    register(tmp_path, PYTHON, "linux")
    section = entry(tmp_path)
    assert section["Type"] == "Application"
    assert section["Icon"] == "linesizer"
    # As the specification reads it: first the escapes of a value, then the quotes of a command, then the field codes.
    quoted, rest = re.fullmatch(r'"((?:[^"\\]|\\.)*)" (.*)', section["Exec"].replace("\\\\", "\\")).groups()  # type: ignore[union-attr]
    assert "%" not in quoted.replace("%%", "")
    assert re.sub(r'\\(["`$\\])', r"\1", quoted).replace("%%", "%") == PYTHON
    assert rest == "-m linesizer open %f"
    assert section["MimeType"] == "application/x-remote-condenser-job+json;"


def test_the_type_is_that_of_the_entry_and_its_magic_finds_every_sample(tmp_path: Path) -> None:
    register(tmp_path, PYTHON, "linux")
    kind = ElementTree.parse(tmp_path / TYPE).getroot().find(f"{MIME}mime-type")
    assert kind is not None
    assert f"{kind.get('type')};" == entry(tmp_path)["MimeType"]
    match = kind.find(f"{MIME}magic/{MIME}match")
    assert match is not None
    first, last = (int(part) for part in str(match.get("offset")).split(":"))
    for sample in SAMPLES:
        assert first <= sample.read_text(encoding="utf-8").find(str(match.get("value"))) <= last
    glob = kind.find(f"{MIME}glob")
    assert glob is not None
    # Not every JSON file is a job.
    assert glob.get("pattern") == "*.condenser.json"


def test_the_icon_is_the_windows(tmp_path: Path) -> None:
    register(tmp_path, PYTHON, "linux")
    assert (tmp_path / ICON).read_bytes() == resource("desktop", "linesizer.svg").read_bytes()
    root = ElementTree.parse(tmp_path / ICON).getroot()
    assert root.get("viewBox") == "0 0 128 128"


def test_a_second_time_replaces_the_first(tmp_path: Path) -> None:
    register(tmp_path, "/usr/bin/python3", "linux")
    register(tmp_path, PYTHON, "linux")
    assert "my tools" in entry(tmp_path)["Exec"]


@pytest.mark.parametrize("system", ["win32", "darwin"])
@pytest.mark.parametrize("act", [register, unregister])
def test_elsewhere_it_says_that_it_is_for_linux(tmp_path: Path, system: str, act: object) -> None:
    with pytest.raises(UserError, match="Linux only"):
        act(tmp_path, system=system)  # type: ignore[operator]  # both take these
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "applications").write_text("in the way")
    with pytest.raises(UserError, match="applications"):
        register(tmp_path, PYTHON, "linux")


def test_the_folder_is_the_persons_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert data_home({"XDG_DATA_HOME": str(tmp_path)}) == tmp_path
    assert data_home({"XDG_DATA_HOME": "relative"}) == Path.home() / ".local" / "share"
    assert data_home({}) == Path.home() / ".local" / "share"


def test_the_command_registers_and_removes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setattr("linesizer.output.desktop_entry._require_linux", lambda system: None)
    assert main(["register"]) == 0
    assert capsys.readouterr().out.splitlines() == [str(tmp_path / place) for place in PLACES]
    assert (tmp_path / ENTRY).is_file()
    assert main(["register", "--remove"]) == 0
    assert not (tmp_path / ENTRY).exists()


def test_a_job_begins_with_its_format() -> None:
    # What the magic stands on: the canonical form writes the format first.
    for sample in SAMPLES:
        assert next(iter(json.loads(sample.read_text(encoding="utf-8")))) == "format"
