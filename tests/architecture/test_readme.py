"""README keeps its promises: two commands, output that is real, no claim."""

import re
from pathlib import Path

import pytest

import linesizer
from linesizer.cli import main

ROOT = Path(__file__).parent.parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"^```(\w*)\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_the_first_block_is_the_two_commands_and_both_are_there() -> None:
    assert BLOCKS[0] == ("", "python3 samples/run.py\npython3 tests/run.py\n")
    for command in BLOCKS[0][1].splitlines():
        assert (ROOT / command.split()[1]).is_file()


def test_the_piece_of_output_is_what_the_command_prints(capsys: pytest.CaptureFixture[str]) -> None:
    (piece,) = (text for kind, text in BLOCKS if kind == "text")
    (sample,) = re.findall(r"A piece of `linesizer size (\S+)`", README)
    assert main(["size", str(ROOT / sample)]) == 0
    printed = iter(capsys.readouterr().out.splitlines())
    for line in piece.splitlines():
        # Each line in its turn; dots stand for what is left out.
        assert line == "..." or line in printed, line


def test_the_piece_of_python_runs(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    (piece,) = (text for kind, text in BLOCKS if kind == "python")
    monkeypatch.chdir(ROOT)
    exec(compile(piece, "README.md", "exec"), {})
    assert "'total_kg'" in capsys.readouterr().out


def test_every_command_of_the_table_is_one(capsys: pytest.CaptureFixture[str]) -> None:
    words = re.findall(r"^\| `linesizer ([\w-]+)", README, re.MULTILINE)
    assert words
    for word in words:
        assert main([word, "--help"] if not word.startswith("-") else [word]) == 0
        assert "linesizer" in capsys.readouterr().out


def test_what_is_not_done_is_told_for_this_version() -> None:
    assert f"In version {linesizer.__version__} " in README


@pytest.mark.parametrize("text", [README, (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")])
def test_every_file_that_is_named_is_there(text: str) -> None:
    named = set(re.findall(r"`((?:linesizer|resources|samples|tests)/[\w./-]*)`", text))
    assert named
    assert sorted(name for name in named if not (ROOT / name).exists()) == []


def test_nothing_is_claimed() -> None:
    assert "local codes" in README
    assert not re.search(r"compl(ies|iant)|certified|guarantee|\bensures?\b", README, re.IGNORECASE)
