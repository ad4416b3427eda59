"""The self-checks see a damaged table."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from linesizer.domain.resources import resource
from linesizer.properties.generator.checks import complaints, require_physical
from linesizer.properties.generator.equation import UntrustworthyTableError
from linesizer.properties.generator.recipe import RECIPES
from linesizer.properties.generator.verify import require_accurate, verify_table
from linesizer.properties.library import FOLDER, names
from linesizer.properties.table import RefrigerantTable

Plain = dict[str, Any]


@pytest.fixture(scope="module")
def shipped() -> Plain:
    return json.loads(resource(FOLDER, "R407C.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", names())
def test_shipped_tables_are_physical(name: str) -> None:
    table = RefrigerantTable(json.loads(resource(FOLDER, f"{name}.json").read_text(encoding="utf-8")))
    assert list(complaints(table)) == []


def swapped_lines(data: Plain) -> None:
    bubble, dew = data["liquid"]["log_pressure"], data["vapour"]["log_pressure"]
    data["liquid"]["log_pressure"], data["vapour"]["log_pressure"] = dew, bubble


def falling_dew_pressure(data: Plain) -> None:
    data["vapour"]["log_pressure"][3] += 2.0


def negative_viscosity(data: Plain) -> None:
    data["vapour"]["beside"]["viscosity"][0][0] *= -1.0


def dense_vapour(data: Plain) -> None:
    data["vapour"]["saturated"]["volume"][0] *= 1e-2


def not_a_number(data: Plain) -> None:
    data["liquid"]["beside"]["sound_speed_m_s"][0][0] = float("nan")


def wavy_density(data: Plain) -> None:
    data["liquid"]["beside"]["volume"][0][6] += 1e-4


def wavy_temperature(data: Plain) -> None:
    data["vapour"]["beside"]["temperature_K"][0][7] += 20.0


def wavy_along_pressure(data: Plain) -> None:
    data["vapour"]["beside"]["volume"][9][0] += 9000.0


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (swapped_lines, "above bubble pressure"),
        (falling_dew_pressure, "dew pressure"),
        (negative_viscosity, "viscosity_Pa_s"),
        (dense_vapour, "denser"),
        (not_a_number, "sound_speed_m_s"),
        (wavy_density, "density_kg_m3"),
        (wavy_temperature, "temperature_K"),
        (wavy_along_pressure, "does not rise with pressure"),
    ],
)
def test_damage_is_seen(damage: Callable[[Plain], None], words: str, shipped: Plain) -> None:
    data = copy.deepcopy(shipped)
    damage(data)
    table = RefrigerantTable(data)
    assert any(words in complaint for complaint in complaints(table)), list(complaints(table))
    with pytest.raises(UntrustworthyTableError, match="R407C"):
        require_physical(table)


def slightly_wrong_density(data: Plain) -> None:
    data["vapour"]["beside"]["volume"][0][0] += 1.0


def slightly_wrong_pressure(data: Plain) -> None:
    data["liquid"]["log_pressure"][0] += 1e-5


def slightly_wrong_viscosity(data: Plain) -> None:
    data["liquid"]["saturated"]["viscosity"][0] *= 1.01


@pytest.mark.parametrize(
    ("damage", "quantity"),
    [
        (slightly_wrong_density, "superheated density"),
        (slightly_wrong_pressure, "saturation pressure"),
        (slightly_wrong_viscosity, "liquid viscosity"),
    ],
)
def test_inaccuracy_is_seen(damage: Callable[[Plain], None], quantity: str, shipped: Plain) -> None:
    """Too little for the signs to notice, found by comparing with CoolProp."""
    data = copy.deepcopy(shipped)
    damage(data)
    table = RefrigerantTable(data)
    assert list(complaints(table)) == []
    with pytest.raises(UntrustworthyTableError, match=quantity):
        require_accurate("R407C", verify_table(table, RECIPES["R407C"], 20))
