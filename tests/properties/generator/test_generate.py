from __future__ import annotations

import json
import pickle
from importlib.metadata import version
from pathlib import Path

import pytest

from linesizer.domain.resources import resource
from linesizer.properties import library
from linesizer.properties.generator.__main__ import main
from linesizer.properties.generator.equation import UntrustworthyTableError
from linesizer.properties.generator.generate import generate, generate_all
from linesizer.properties.generator.recipe import RECIPES, blend


@pytest.mark.parametrize("name", ["R134a", "R454B"])
def test_shipped_tables_come_out_again_byte_for_byte(name: str, tmp_path: Path) -> None:
    """With the CoolProp they were made with; another one gives another table, which has passed the same checks."""
    again = generate(RECIPES[name], tmp_path).read_bytes()
    shipped = resource(library.FOLDER, f"{name}.json").read_bytes()
    if library.load(name).coolprop_version == version("CoolProp"):
        assert again == shipped
    else:
        assert json.loads(again)["coolprop_version"] == version("CoolProp")
    assert b"\r" not in again


def test_coefficients_have_at_most_ten_significant_digits() -> None:
    def numbers(value: object) -> list[float]:
        if isinstance(value, dict):
            return [number for entry in value.values() for number in numbers(entry)]
        if isinstance(value, list):
            return [number for entry in value for number in numbers(entry)]
        return [value] if isinstance(value, float) else []

    for name in library.names():
        data = json.loads(resource(library.FOLDER, f"{name}.json").read_text(encoding="utf-8"))
        found = numbers(data)
        assert len(found) > 500
        assert all(number == float(f"{number:.9e}") for number in found), name


def test_a_blend_of_ones_own(tmp_path: Path) -> None:
    recipe = blend("Mine-7030", {"R32": 0.3, "R134a": 0.7})
    table = library.read_table(generate(recipe, tmp_path))
    assert table.name == "Mine-7030"
    assert table.composition == {"R32": 0.3, "R134a": 0.7}
    glide = float(table.dew_temperature(1e6) - table.bubble_temperature(1e6))
    assert 4.0 < glide < 9.0
    pure = library.load("R32")
    assert library.load("R134a").dew_pressure(300.0) < table.bubble_pressure(300.0) < pure.dew_pressure(300.0)


def test_a_hydrocarbon_blend(tmp_path: Path) -> None:
    table = library.read_table(generate(blend("Propane-isobutane", {"R290": 0.5, "R600a": 0.5}), tmp_path))
    assert table.maximum_saturation_temperature_K == pytest.approx(348.15)


def test_one_component_blend_is_the_pure_refrigerant(tmp_path: Path) -> None:
    own = json.loads(generate(blend("Mine", {"R290": 1.0}), tmp_path).read_text(encoding="utf-8"))
    shipped = json.loads(resource(library.FOLDER, "R290.json").read_text(encoding="utf-8"))
    assert own.pop("name") == "Mine"
    assert shipped.pop("name") == "R290"
    assert own == shipped


def test_failure_is_loud_and_writes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def complaint(table: object) -> None:
        raise UntrustworthyTableError("R134a", "planted")

    monkeypatch.setattr("linesizer.properties.generator.generate.require_physical", complaint)
    with pytest.raises(UntrustworthyTableError, match="planted"):
        generate(RECIPES["R134a"], tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_hopeless_blend_is_refused_in_words(tmp_path: Path) -> None:
    """Carbon dioxide with ammonia: CoolProp knows no interaction of the two (and they make a salt)."""
    with pytest.raises(UntrustworthyTableError, match="Hopeless") as error:
        generate(blend("Hopeless", {"R744": 0.5, "R717": 0.5}), tmp_path)
    assert error.value.code == "PROP-12"
    assert list(tmp_path.iterdir()) == []


def test_the_error_survives_the_way_between_processes() -> None:
    error = pickle.loads(pickle.dumps(UntrustworthyTableError("R32", "planted")))
    assert "planted" in error.why
    assert error.what.endswith("R32 was written.")


def test_several_at_a_time(tmp_path: Path) -> None:
    lines: list[str] = []
    generate_all([RECIPES["R134a"], RECIPES["R290"]], tmp_path, lines.append)
    assert [line.split(":")[0] for line in lines] == ["R134a", "R290"]
    assert (tmp_path / "R290.json").read_bytes() == resource(library.FOLDER, "R290.json").read_bytes() or (
        library.load("R290").coolprop_version != version("CoolProp")
    )


def test_an_error_in_one_of_several_comes_out(tmp_path: Path) -> None:
    wrong = blend("Wrong", {"R744": 0.5, "R717": 0.5})
    with pytest.raises(UntrustworthyTableError, match="Wrong"):
        generate_all([RECIPES["R134a"], wrong], tmp_path, lambda line: None)


def test_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["R1270", "--to", str(tmp_path / "new")]) == 0
    assert (tmp_path / "new" / "R1270.json").is_file()
    assert "R1270" in capsys.readouterr().out
    assert main(["R12701", "--to", str(tmp_path)]) == 2
    assert "R1270" in capsys.readouterr().err
