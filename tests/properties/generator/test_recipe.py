from __future__ import annotations

import pytest
from CoolProp.CoolProp import AbstractState

from linesizer.errors import UserError
from linesizer.properties.generator.equation import mole_fractions
from linesizer.properties.generator.recipe import COMPONENTS, RECIPES, blend


@pytest.mark.parametrize("name", [name for name, recipe in RECIPES.items() if recipe.equation == "mixture"])
def test_composition_is_that_of_coolprops_predefined_mixture(name: str) -> None:
    if name == "R515B":  # not among them: 91.1 % R1234ze(E), 8.9 % R227ea by mass, from the design
        assert dict(RECIPES[name].mass_fractions) == {"R1234ze(E)": 0.911, "R227ea": 0.089}
        return
    predefined = AbstractState("HEOS", f"{name}.mix")
    expected = dict(zip(predefined.fluid_names(), predefined.get_mole_fractions(), strict=True))
    recipe = RECIPES[name]
    found = {
        AbstractState("HEOS", COMPONENTS[part]).fluid_names()[0]: share
        for (part, _), share in zip(recipe.mass_fractions, mole_fractions(recipe), strict=True)
    }
    assert found == pytest.approx(expected, abs=2e-6)


@pytest.mark.parametrize(
    ("name", "shares", "word"),
    [
        ("mine", {"R32": 0.5, "R999": 0.5}, "R999"),
        ("mine", {"R32": 0.5, "R125": 0.4}, "0.9"),
        ("mine", {"R32": 1.5, "R125": -0.5}, "1.5"),
        ("mine", {"R32": float("nan"), "R125": 1.0}, "nan"),
        ("mine", {}, "0"),
        ("../mine", {"R32": 0.5, "R125": 0.5}, "file"),
        ("", {"R32": 0.5, "R125": 0.5}, "file"),
        ("m" * 50, {"R32": 0.5, "R125": 0.5}, "file"),
    ],
)
def test_an_impossible_blend_is_refused(name: str, shares: dict[str, float], word: str) -> None:
    with pytest.raises(UserError) as error:
        blend(name, shares)
    assert error.value.code == "PROP-11"
    assert word in error.value.why


def test_one_component_makes_a_pure_refrigerant() -> None:
    assert blend("mine", {"R32": 1.0}).equation == "pure"
