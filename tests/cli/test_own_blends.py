"""A blend of one's own on the command line: added, listed, marked in every output, carried, removed."""

import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from linesizer.cli import main
from linesizer.domain.blend import Blend
from linesizer.domain.resources import resource
from linesizer.properties import own_blends
from tests import own_blends as made
from tests.cli.manners import Done, well_mannered
from tests.own_blends import HALF, MILD, NAME

Run = Callable[..., Done]
TEXT = "R32 0.5, R125 0.5"


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.rglob("*") if path.is_file())


def test_a_blend_is_added_listed_with_its_mark_and_removed(linesizer: Run, own_data_folder: Path) -> None:
    done = linesizer("refrigerants", "--add", NAME, "--composition", TEXT)
    assert (done.code, done.err) == (0, "")
    (file,) = files(own_data_folder)
    assert file == f"{NAME}-{HALF.key}.json"
    (line,) = (line for line in done.out.splitlines() if line.startswith(NAME))
    assert "own" in line.split()
    assert line.endswith("R32/125 50/50")
    joined = " ".join(done.out.split())
    for words in ("not a shipped refrigerant", "table built on", "Lemmon-JPCRD-2004", "uncertainty", "? not known"):
        assert words in joined
    listed = linesizer("refrigerants")
    assert line.split()[:2] in [row.split()[:2] for row in listed.out.splitlines()]
    assert "and 1 blend of your own, not shipped" in listed.out
    rows = json.loads(linesizer("refrigerants", "--json").out)["refrigerants"]
    assert {row["name"] for row in rows if not row["shipped"]} == {NAME}
    assert rows[-1]["own"]["composition"] == dict(HALF.composition)
    removed = linesizer("refrigerants", "--remove", NAME.lower())
    assert (removed.code, removed.out.strip()) == (0, str(own_data_folder / "blends" / file))
    assert files(own_data_folder) == []
    assert NAME not in linesizer("refrigerants").out


def test_what_is_stated_is_kept_and_shown(linesizer: Run) -> None:
    words = ("--composition", TEXT, "--by", "mole", "--safety-group", "A2L", "--gwp", "2000", "--rcl", "0.3", "--json")
    done = linesizer("refrigerants", "--add", NAME, *words)
    (row,) = json.loads(done.out)["refrigerants"]
    assert row["safety_group"]["value"] == "A2L"
    assert row["gwp"]["value"] == 2000.0
    assert row["rcl_kg_m3"]["value"] == 0.3
    assert row["own"]["basis"] == "mole"


def test_another_composition_takes_a_name_only_if_asked(linesizer: Run, own_data_folder: Path) -> None:
    made.built(NAME, MILD)
    well_mannered(linesizer("refrigerants", "--add", NAME, "--composition", TEXT))
    assert files(own_data_folder) == [f"{NAME}-{MILD.key}.json"]
    assert linesizer("refrigerants", "--add", NAME, "--composition", TEXT, "--replace").code == 0
    assert files(own_data_folder) == [f"{NAME}-{HALF.key}.json"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--add", "X1", "--composition", "R32 0.5, R125 0.4"], "sum to 0.9"),
        (["--add", "X1", "--composition", "R32 0.5, R999 0.5"], "R999"),
        (["--add", "X1", "--composition", "nonsense"], "nonsense"),
        (["--add", "R410A", "--composition", TEXT], "R410A is a shipped refrigerant"),
        (["--add", "X1", "--composition", "R717 0.5, R744 0.5"], "R717 with R744"),
        (["--add", "X1"], "--composition"),
        (["--composition", TEXT], "--add NAME"),
        (["--remove", "X1", "--replace"], "--add NAME"),
        (["--verify", "--gwp", "0"], "--add NAME"),
        (["--remove", "X1"], "no blend of your own called"),
    ],
)
def test_bad_input_is_one_error_with_the_next_step(
    words: list[str], said: str, linesizer: Run, own_data_folder: Path
) -> None:
    assert said in well_mannered(linesizer("refrigerants", *words))
    assert files(own_data_folder) == []


def test_progress_is_for_a_terminal_and_never_for_the_output(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stderr", shown := Terminal())
    assert main(["refrigerants", "--add", NAME, "--composition", TEXT]) == 0
    assert "0 of 8" in shown.getvalue()
    assert "7 of 8" in shown.getvalue()
    assert "comparison with CoolProp" in shown.getvalue()
    assert " of 8" not in capsys.readouterr().out


def test_tables_name_what_the_blend_is_made_of_beside_its_name(linesizer: Run, tmp_path: Path) -> None:
    path = made.written(tmp_path)
    for command in ("size", "charge"):
        (head,) = (line for line in linesizer(command, path).out.splitlines() if line.startswith("Circuit 1  "))
        assert f"{NAME} (own blend, not shipped: R134a/227ea 90/10 by mass)" in head
        (head,) = (line for line in linesizer(command, made.SAMPLE).out.splitlines() if line.startswith("Circuit 1  "))
        assert "own blend" not in head


@pytest.mark.parametrize("command", ["size", "charge", "check"])
def test_a_carried_job_builds_its_blend_and_says_so(
    command: str, linesizer: Run, tmp_path: Path, own_data_folder: Path
) -> None:
    path = made.written(tmp_path)
    before = path.read_bytes()
    first = linesizer(command, path)
    assert first.code == 0
    assert NAME in first.err
    assert "blend of somebody's own" in first.err
    assert files(own_data_folder) == [f"{NAME}-{MILD.key}.json"]
    again = linesizer(command, path)
    assert (again.code, again.err, again.out) == (0, "", first.out)
    joined = " ".join(first.out.split())
    assert "not shipped" in joined or "not a shipped" in joined
    assert NAME in joined
    assert path.read_bytes() == before


def test_several_files_at_once_name_those_with_own_blends(linesizer: Run, tmp_path: Path) -> None:
    done = linesizer("check", made.written(tmp_path), made.SAMPLE)
    assert "Blends of somebody's own, not shipped refrigerants:" in done.out
    assert f"{NAME} in {tmp_path / 'job.json'}" in done.out
    assert f"in {made.SAMPLE}" not in done.out


def test_the_result_for_a_script_says_that_it_is_not_a_shipped_one(linesizer: Run, tmp_path: Path) -> None:
    result = json.loads(linesizer("size", made.written(tmp_path), "--json").out)
    blend = result["circuits"][0]["blend"]
    assert (blend["name"], blend["shipped"], blend["composition"]) == (NAME, False, dict(MILD.composition))
    assert blend["method"]
    assert "own_blend" in [finding["code"] for finding in result["circuits"][0]["findings"]]
    Draft202012Validator(json.loads(resource("schema", "result.schema.json").read_bytes())).validate(result)
    assert json.loads(linesizer("size", made.SAMPLE, "--json").out)["circuits"][0]["blend"] is None
    charge = json.loads(linesizer("charge", made.written(tmp_path), "--json").out)
    assert charge["circuits"][0]["blend"]["name"] == NAME
    checked = json.loads(linesizer("check", made.written(tmp_path), "--json").out)
    assert "own_blend" in [finding["code"] for finding in checked["files"][0]["circuits"][0]["findings"]]


def test_a_job_with_another_composition_of_a_name_gets_its_own_table(linesizer: Run, tmp_path: Path) -> None:
    made.built(NAME, HALF)
    done = linesizer("size", made.written(tmp_path, NAME, MILD))
    assert (done.code, "building" in done.err) == (0, True)
    assert "R134a/227ea 90/10" in done.out
    assert {one.blend for one in own_blends.stored()} == {HALF, MILD}


def test_a_carried_blend_that_cannot_be_built_is_bad_input(
    linesizer: Run, tmp_path: Path, own_data_folder: Path
) -> None:
    done = linesizer("size", made.written(tmp_path, NAME, Blend((("R717", 0.5), ("R744", 0.5)))))
    assert (done.code, done.out) == (2, "")
    assert "R717 with R744" in done.err
    assert "Traceback" not in done.err
    assert files(own_data_folder) == []


def test_a_job_without_the_composition_is_told_what_to_state(refused: Callable[..., str]) -> None:
    made.built(NAME, MILD)
    error = refused(made.document(NAME, None))
    assert '"blend": {"basis": "mass", "composition": {"R134a": 0.9, "R227ea": 0.1}}' in error


def test_a_condition_outside_the_built_table_is_refused_after_building(linesizer: Run, tmp_path: Path) -> None:
    document = made.document()
    document["circuits"][0]["conditions"][0]["condensing_C"] = 100.0
    path = tmp_path / "job.json"
    path.write_text(json.dumps(document), encoding="utf-8")
    done = linesizer("size", path)
    assert (done.code, done.out) == (2, "")
    assert "circuits[0].conditions[0].condensing_C" in done.err


def test_a_picture_is_drawn_of_a_carried_job(tmp_path: Path) -> None:
    picture = tmp_path / "out.png"
    command = [sys.executable, "-m", "linesizer", "open", str(made.written(tmp_path)), "--picture", str(picture)]
    done = subprocess.run(command, capture_output=True, encoding="utf-8", timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert "building its table" in done.stderr
    assert picture.stat().st_size > 10_000


def test_a_job_with_a_built_blend_loads_neither_coolprop_nor_qt(tmp_path: Path) -> None:
    made.built()
    program = (
        "import sys\nfrom linesizer.cli import main\n"
        f"assert main(['size', {str(made.written(tmp_path))!r}]) == 0\n"
        "for name in ('CoolProp', 'scipy', 'PySide6', 'subprocess'):\n"
        "    assert not [module for module in sys.modules if module.split('.')[0] == name], name\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
