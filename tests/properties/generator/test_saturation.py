"""The equality of fugacities, solved here, against CoolProp's own saturation calls where they are sound."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.properties.generator.equation import EquationOfState, Phase, abstract_state, mole_fractions
from linesizer.properties.generator.recipe import RECIPES, blend
from linesizer.properties.generator.saturation import MixtureLine, holes, saturation_call, saturation_line


@pytest.mark.parametrize("name", ["R454B", "R513A", "R455A", "R448A"])
@pytest.mark.parametrize("phase", ["liquid", "vapour"])
def test_agrees_with_coolprop_where_it_is_sound(name: str, phase: Phase) -> None:
    """To 1e-9: CoolProp's own stop is near 1e-10."""
    line, flash = MixtureLine(RECIPES[name], phase), abstract_state(RECIPES[name])
    for temperature in (225.0, 250.0, 280.0, 300.0, 320.0):
        found = saturation_call(flash, phase, temperature)
        assert found is not None
        point = line.at_temperature(temperature)
        assert point.pressure_Pa == pytest.approx(found, rel=1e-9)
        assert line.at_pressure(found).temperature_K == pytest.approx(temperature, abs=1e-7)


def test_fugacities_are_equal_inside_a_hole() -> None:
    """R454B bubble point at 57.5 C, where CoolProp's call fails: liquid of the blend beside vapour of its bubble."""
    recipe = RECIPES["R454B"]
    line = MixtureLine(recipe, "liquid")
    point = line.at_temperature(330.65)
    assert saturation_call(abstract_state(recipe), "liquid", 330.65) is None
    ratios = line._march("temperature", 330.65).log_ratios
    whole = np.array(mole_fractions(recipe))
    bubble = whole * np.exp(ratios)
    assert bubble.sum() == pytest.approx(1.0, abs=1e-9)
    liquid, vapour = EquationOfState(recipe, "liquid"), EquationOfState(recipe, "vapour", tuple(bubble.tolist()))
    liquid.density(point.pressure_Pa, 330.65, point.density_kg_m3)
    vapour.density(point.pressure_Pa, 330.65, 140.0)
    for index in range(2):
        assert vapour.state.fugacity(index) == pytest.approx(liquid.state.fugacity(index), rel=1e-8)


def test_azeotrope_is_not_taken_for_the_trivial_solution() -> None:
    bubble, dew = (saturation_line(RECIPES["R515B"], phase).at_temperature(313.15) for phase in ("liquid", "vapour"))
    assert bubble.density_kg_m3 > 20.0 * dew.density_kg_m3
    assert dew.pressure_Pa == pytest.approx(bubble.pressure_Pa, rel=1e-3)
    assert dew.pressure_Pa <= bubble.pressure_Pa


def test_holes_are_named() -> None:
    recipe = RECIPES["R454B"]
    (words,) = holes(recipe, "liquid", saturation_line(recipe, "liquid"), (320.15, 340.15))
    assert words.startswith("bubble points at 56.5 to 58.5")
    assert holes(recipe, "liquid", saturation_line(recipe, "liquid"), (280.15, 300.15)) == ()
    assert holes(RECIPES["R134a"], "liquid", saturation_line(RECIPES["R134a"], "liquid"), (320.15, 340.15)) == ()


def test_pseudo_pure_lines_lead_there_and_back() -> None:
    for phase in ("liquid", "vapour"):
        line = saturation_line(RECIPES["R407C"], phase)
        point = line.at_temperature(310.0)
        assert line.at_pressure(point.pressure_Pa).temperature_K == pytest.approx(310.0, abs=1e-6)


def test_a_pure_fluid_named_as_blend_has_one_line() -> None:
    recipe = blend("mine", {"R32": 1.0})
    bubble, dew = (saturation_line(recipe, phase).at_temperature(300.0) for phase in ("liquid", "vapour"))
    assert bubble.pressure_Pa == pytest.approx(dew.pressure_Pa, rel=1e-9)
