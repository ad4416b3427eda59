"""The list of refrigerants as text and as rows."""

import pytest

from linesizer.output.refrigerant_list import Row, refrigerant_list, refrigerant_rows
from linesizer.output.size_table import WIDTH
from linesizer.properties.library import facts, load, names
from linesizer.properties.summary import describe


def rows(*wanted: str) -> list[Row]:
    return [(describe(name), facts(name)) for name in wanted or names()]


def line_of(name: str, text: str) -> str:
    (line,) = (line for line in text.splitlines() if line.split()[:1] == [name])
    return line


def test_a_blend_stands_as_the_trade_writes_it() -> None:
    # Compositions by mass of ANSI/ASHRAE 34 (from memory).
    text = refrigerant_list(rows(), "si")
    assert line_of("R448A", text).endswith("R32/125/134a/1234yf/1234ze(E) 26/26/21/20/7")
    assert line_of("R410A", text).endswith("R32/125 50/50")
    assert "%" in line_of("R134a", text)
    assert "/" not in line_of("R134a", text)


def test_group_and_gwp_with_its_edition() -> None:
    # ANSI/ASHRAE 34 groups and the Fourth Assessment Report's 1430 for R134a (from memory).
    text = refrigerant_list(rows("R134a", "R32", "R290", "R717"), "si")
    groups = {name: line_of(name, text).split()[1] for name in ("R134a", "R32", "R290", "R717")}
    assert groups == {"R134a": "A1", "R32": "A2L", "R290": "A3", "R717": "B2L"}
    assert line_of("R134a", text).split()[2:4] == ["1430", "a"]
    assert "GWP a" in text
    assert facts("R134a").gwp_edition in text
    assert facts("R290").gwp_edition in text


def test_range_of_saturation_and_where_it_ends_below_the_critical_point() -> None:
    # Critical temperature of R744: 30.98 °C (Span and Wagner 1996, from memory); the table ends 3 K below.
    text = refrigerant_list(rows("R134a", "R744"), "si")
    assert "-50.0 to 75.0" in line_of("R134a", text)
    assert "-50.0 to 28.0" in line_of("R744", text)


def test_what_was_bridged_is_marked_and_told() -> None:
    text = refrigerant_list(rows("R134a", "R407F"), "si")
    assert " * " in line_of("R407F", text)
    assert "*" not in line_of("R134a", text)
    assert "R407F: bubble points at 48.5" in text
    assert "\n* " not in refrigerant_list(rows("R134a"), "si")


def test_viscosity_with_method_and_uncertainty() -> None:
    text = refrigerant_list(rows("R410A", "R454B"), "si")
    assert "within 3 %  1" in line_of("R410A", text)
    assert "within 10 %  2" in line_of("R454B", text)
    joined = " ".join(text.split())
    assert f"viscosity 1 {describe('R410A').viscosity_method.liquid}" in joined
    assert f"viscosity 2 liquid: {describe('R454B').viscosity_method.liquid}" in joined


def test_a_pure_refrigerant_has_no_glide_and_carbon_dioxide_none_at_all() -> None:
    text = refrigerant_list(rows("R290", "R744"), "si")
    assert " 0.00 " in line_of("R290", text)
    assert " – " in line_of("R744", text)


def test_notes_keep_the_width_and_warn() -> None:
    text = refrigerant_list(rows(), "si")
    table, notes = text.split("\n\ngroup ")
    assert max(len(line) for line in notes.splitlines()) <= WIDTH
    assert max(len(line) for line in table.splitlines()) <= 120
    assert "Flammable" in notes


def test_rows_hold_the_composition_that_the_table_was_made_of() -> None:
    for row in refrigerant_rows(rows())["refrigerants"]:
        assert sum(row["mass_fractions"]["value"].values()) == pytest.approx(1.0, abs=1e-9)
        assert row["mass_fractions"]["value"] == dict(load(row["name"]).composition)
        assert row["minimum_saturation_C"] < row["maximum_saturation_C"] < row["critical_C"]
        assert 0.0 < row["viscosity"]["liquid"]["uncertainty"] < 1.0
