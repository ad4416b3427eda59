from __future__ import annotations

from pathlib import Path

import pytest

from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.properties import library

DESIGNED = [
    "R22", "R134a", "R404A", "R407A", "R407C", "R407F", "R410A", "R507A", "R32", "R1234yf", "R1234ze(E)", "R513A",
    "R515B", "R450A", "R448A", "R449A", "R452A", "R452B", "R454A", "R454B", "R454C", "R455A", "R290", "R1270", "R600a",
    "R717", "R744",
]  # fmt: skip


def test_ships_the_refrigerants_of_the_design() -> None:
    assert list(library.names()) == DESIGNED


def test_every_table_file_has_facts_and_the_other_way_round() -> None:
    files = {path.stem for path in resource(library.FOLDER).glob("*.json")} - {"facts"}
    assert files == set(library.names())


@pytest.mark.parametrize("name", library.names())
def test_a_table_is_that_of_its_name_and_composition(name: str) -> None:
    table = library.load(name)
    assert table.name == name
    assert table.composition == library.facts(name).mass_fractions.value
    assert sum(table.composition.values()) == pytest.approx(1.0, abs=1e-12)


def test_a_table_is_read_once() -> None:
    assert library.load("R134a") is library.load("R134a")


def test_files_are_small() -> None:
    for name in library.names():
        assert resource(library.FOLDER, f"{name}.json").stat().st_size < 80_000


@pytest.mark.parametrize(
    ("typed", "near"),
    [
        ("r134a", ("R134a",)),
        ("R-134a", ("R134a",)),
        ("134A", ("R134a",)),
        ("R 454 B", ("R454B",)),
        ("R1234ze", ("R1234ze(E)",)),
        ("R1234ze-E", ("R1234ze(E)",)),
        ("R407", ("R407A", "R407C", "R407F")),
        ("R410B", ("R410A",)),
        ("water", ()),
        ("", ()),
        ("R", ()),
    ],
)
def test_near_names(typed: str, near: tuple[str, ...]) -> None:
    assert library.near_names(typed) == near


@pytest.mark.parametrize("ask", [library.load, library.facts])
def test_an_unknown_name_is_refused_with_near_ones(ask: object) -> None:
    with pytest.raises(UserError, match="R-410a") as error:
        ask("R-410a")
    assert error.value.code == "PROP-01"
    assert "R410A" in error.value.remedy
    with pytest.raises(UserError) as error:
        ask("air")
    assert "R717" in error.value.why
    assert "one of these" in error.value.remedy


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"format": 2}', "\xff"])
def test_a_damaged_table_is_refused(text: str, tmp_path: Path) -> None:
    path = tmp_path / "R134a.json"
    path.write_bytes(text.encode("latin-1"))
    with pytest.raises(UserError, match=r"R134a\.json") as error:
        library.read_table(path)
    assert error.value.code == "PROP-05"


def test_a_missing_table_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UserError) as error:
        library.read_table(tmp_path / "absent.json")
    assert error.value.code == "PROP-05"
