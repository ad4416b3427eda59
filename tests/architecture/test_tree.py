"""What the project's folders hold, and how large a file may grow."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
AGREED = {"DEVELOPERS.md", "README.md", "linesizer", "pyproject.toml", "resources", "samples", "tests"}
IGNORED = {line.strip("/") for line in (ROOT / ".gitignore").read_text(encoding="utf-8").split()}
MOST_LINES = 600
# Somebody's own folder on somebody's machine, of Linux, macOS or Windows.
MACHINE_PATH = re.compile(r"(?<![\w.~])/(?:home|root|work|Users|mnt|srv)/\w|\b[A-Z]:\\+Users\\+\w")


def files(*suffixes: str) -> Iterator[Path]:
    """The project's own files with one of the endings, or all."""
    for name in (*sorted(AGREED), ".ci", ".gitignore"):
        place = ROOT / name
        for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
            own = path.is_file() and not IGNORED.intersection(path.relative_to(ROOT).parts)
            if own and (not suffixes or path.suffix in suffixes):
                yield path


def named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def test_the_top_level_holds_the_agreed_names_and_nothing_else() -> None:
    there = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert there - IGNORED == AGREED


def test_no_python_file_is_too_long() -> None:
    lengths = {named(path): len(path.read_text(encoding="utf-8").splitlines()) for path in files(".py")}
    assert len(lengths) > 100
    assert {path: lines for path, lines in lengths.items() if lines > MOST_LINES} == {}


def test_no_file_names_a_folder_of_a_machine() -> None:
    found = {}
    for path in files():
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue  # a picture
        here = [str(ROOT)] if len(ROOT.parts) > 2 else []
        hits = [hit.group() for hit in MACHINE_PATH.finditer(text)] + [place for place in here if place in text]
        if hits:
            found[named(path)] = hits
    assert found == {}


def test_every_package_and_module_says_what_it_is_for() -> None:
    silent = [
        named(path)
        for path in files(".py")
        if path.is_relative_to(ROOT / "linesizer") and not ast.get_docstring(ast.parse(path.read_text("utf-8")))
    ]
    assert silent == []


def test_every_folder_with_modules_is_a_package() -> None:
    folders = {path.parent for path in files(".py") if path.is_relative_to(ROOT / "linesizer")}
    assert [named(folder) for folder in sorted(folders) if not (folder / "__init__.py").is_file()] == []


def test_no_folder_or_file_is_a_drawer() -> None:
    drawers = {"common", "helper", "helpers", "misc", "util", "utils"}
    names = {named(path): {*path.relative_to(ROOT).parts, path.stem} for path in files(".py")}
    assert [path for path, words in names.items() if drawers.intersection(words)] == []
