"""The command ``refrigerants``: the list, and the comparison with CoolProp."""

import io
import json
import sys
from collections.abc import Callable
from dataclasses import replace

import pytest

from linesizer.cli import LINE_WIDTH, main
from linesizer.properties.generator import verify
from linesizer.properties.library import names
from tests.cli.manners import Done, well_mannered

Run = Callable[..., Done]


def test_list_names_every_refrigerant_on_a_line_of_its_own(linesizer: Run) -> None:
    done = linesizer("refrigerants")
    assert (done.code, done.err) == (0, "")
    first = [line.split()[0] for line in done.out.splitlines() if line[:1] == "R" and line[1:2].isdigit()]
    assert tuple(first) == names()
    assert len(first) == 27


def test_list_in_either_system_of_units(linesizer: Run) -> None:
    assert "saturation, °C" in linesizer("refrigerants").out
    # -50 °C and 75 °C are -58 °F and 167 °F.
    assert "-58.0 to 167.0" in linesizer("refrigerants", "--units", "ip").out


def test_list_for_a_script(linesizer: Run) -> None:
    done = linesizer("refrigerants", "--json")
    assert (done.code, done.err) == (0, "")
    rows = json.loads(done.out, parse_constant=pytest.fail)["refrigerants"]
    assert tuple(row["name"] for row in rows) == names()
    for row in rows:
        for fact in ("safety_group", "gwp", "mass_fractions", "tube_materials", "oils"):
            assert row[fact]["source"], row["name"]
            assert row[fact]["status"], row["name"]


def test_comparison_prints_each_quantity_of_those_named(linesizer: Run) -> None:
    done = linesizer("refrigerants", "--verify", "R134a")
    assert (done.code, done.err) == (0, "")
    assert done.out.startswith("R134a: ")
    for quantity in ("saturation pressure", "superheated density", "discharge temperature", "liquid viscosity"):
        assert quantity in done.out
    assert "R22" not in done.out


def test_comparison_for_a_script(linesizer: Run) -> None:
    done = linesizer("refrigerants", "--verify", "R134a", "R134a", "--json")
    assert (done.code, done.err) == (0, "")
    (row,) = json.loads(done.out)["refrigerants"]
    assert row["name"] == "R134a"
    assert all(quantity["worst"] <= quantity["allowed"] for quantity in row["quantities"])


def test_comparison_without_names_takes_all(linesizer: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    monkeypatch.setattr(verify, "verify", lambda name: asked.append(name) or ())
    assert linesizer("refrigerants", "--verify").code == 0
    assert tuple(asked) == names()


def test_table_that_is_off_is_told_and_ends_with_1(linesizer: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    off = verify.VerifiedQuantity("saturation pressure", "1", 2e-6, worst=1e-3, where="somewhere", states=1)
    monkeypatch.setattr(verify, "verify", lambda name: (off, replace(off, quantity="enthalpy", worst=float("nan"))))
    done = linesizer("refrigerants", "--verify", "R32")
    assert done.code == 1
    assert "R32: saturation pressure is further off than 2e-06" in done.err
    assert "R32: enthalpy is further off" in done.err


def test_progress_is_for_a_terminal_and_never_for_the_output(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(verify, "verify", lambda name: ())
    monkeypatch.setattr(sys, "stderr", shown := Terminal())
    assert main(["refrigerants", "--verify", "R32", "R22"]) == 0
    assert "R32 (1 of 2)" in shown.getvalue()
    assert "R22 (2 of 2)" in shown.getvalue()
    assert shown.getvalue().endswith(f"\r{' ' * LINE_WIDTH}\r")
    assert "of 2" not in capsys.readouterr().out


@pytest.mark.parametrize("wanted", [["R-134a"], ["R32", "R999", "R22"]])
def test_unknown_name_is_told_before_anything_is_printed(wanted: list[str], linesizer: Run) -> None:
    error = well_mannered(linesizer("refrigerants", "--verify", *wanted))
    assert "is not known" in error
    if wanted == ["R-134a"]:
        assert "Did you mean R134a?" in error
