"""What a person types of a blend: read, and refused with a reason."""

import pytest

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import UserError
from linesizer.properties.blend_entry import own_blend, read_composition, require_name
from tests.own_blends import HALF, MILD, NAME, built


@pytest.mark.parametrize("text", ["R32 0.5, R125 0.5", "R32=0.5;R125=.5", " R32: 5e-1 ,R125 0.5 "])
def test_components_with_fractions_are_read(text: str) -> None:
    assert read_composition(text) == (("R32", 0.5), ("R125", 0.5))


@pytest.mark.parametrize("text", ["", "R32", "R32 0.5 R125 0.5", "0.5, 0.5", "R32 half", "R32 0.5,", "R32 1.2.3"])
def test_what_is_no_component_with_a_fraction_is_refused(text: str) -> None:
    with pytest.raises(UserError, match="no component with a fraction"):
        read_composition(text)


@pytest.mark.parametrize("word", ["r-134A", "R134a", "134a", "R 134a".replace(" ", "")])
def test_a_component_may_be_spelled_as_people_spell_it(word: str) -> None:
    assert own_blend([(word, 1.0)], BlendBasis.MASS) == Blend((("R134a", 1.0),))


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ([("R32", 0.5), ("R125", 0.4)], "sum to 0.9"),
        ([("R32", 50.0), ("R125", 50.0)], "at most 1"),
        ([("R32", 1.5), ("R125", -0.5)], "at most 1"),
        ([("R32", float("nan"))], "above 0"),
        ([("R32", 0.5), ("r32", 0.5)], "twice"),
        ([("R999", 1.0)], "no component “R999”"),
        ([], "sum to 0"),
    ],
)
def test_a_composition_that_cannot_be_is_refused(parts: list[tuple[str, float]], words: str) -> None:
    with pytest.raises(UserError, match=words):
        own_blend(parts, BlendBasis.MASS)


@pytest.mark.parametrize(
    "stated", [{"safety_group": "A4"}, {"gwp": -1.0}, {"gwp": float("nan")}, {"rcl_kg_m3": 0.0}, {"rcl_kg_m3": 99.0}]
)
def test_what_is_stated_has_to_be_possible(stated: dict[str, float]) -> None:
    with pytest.raises(UserError):
        own_blend([("R32", 1.0)], BlendBasis.MASS, **stated)


@pytest.mark.parametrize("name", ["", "a b", "../x", "x/y", "-x", "x" * 41, "Ü"])
def test_a_name_that_is_no_file_name_is_refused(name: str) -> None:
    with pytest.raises(UserError, match="file's name"):
        require_name(name, HALF)


@pytest.mark.parametrize("name", ["R410A", "r410a", "R-410A"])
def test_the_name_of_a_shipped_refrigerant_is_refused(name: str) -> None:
    with pytest.raises(UserError, match="R410A is a shipped refrigerant"):
        require_name(name, HALF)


def test_another_composition_of_a_name_is_told_and_replaced_only_if_asked() -> None:
    built()
    require_name(NAME, MILD)
    for name in (NAME, NAME.lower()):
        with pytest.raises(UserError, match="R134a/227ea 90/10"):
            require_name(name, HALF)
        require_name(name, HALF, replace=True)


def test_a_composition_has_one_key_whatever_its_order() -> None:
    assert Blend((("R125", 0.5), ("R32", 0.5))).key == HALF.key
    assert Blend((("R125", 0.4), ("R32", 0.6))).key != HALF.key
    assert Blend(HALF.composition, BlendBasis.MOLE).key != HALF.key
