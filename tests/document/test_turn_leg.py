"""Legs turned into another direction."""

from __future__ import annotations

import math

import pytest

from linesizer.document.commands.turn import TurnLeg
from tests.document.jobs import EXAMPLE, acted, length_m, places, refused


def test_a_leg_turns_about_its_start_and_what_hangs_on_it_follows() -> None:
    command = TurnLeg("c1", "dis", "d2", (0.0, 6.0, 0.0))
    after = acted(command)
    assert command.label == "change direction of d2"
    before, turned = places(EXAMPLE), places(after)
    assert (turned["n1"], turned["n2"]) == (before["n1"], before["n2"])
    assert turned["n3"] == (0.0, 6.0, 3.4)
    for name in ("n4", "n5"):
        assert turned[name] == pytest.approx([a + b for a, b in zip(before[name], (-6.0, 6.0, 0.0), strict=True)])
    assert [length_m(after, leg) for leg in ("d1", "d3", "d4")] == pytest.approx(
        [length_m(EXAMPLE, leg) for leg in ("d1", "d3", "d4")]
    )


def test_the_same_direction_changes_nothing() -> None:
    assert TurnLeg("c1", "dis", "d2", (6.0, 0.0, 0.0)).apply(EXAMPLE) is EXAMPLE


@pytest.mark.parametrize("offset", [(0.0, 0.0, 0.0), (math.inf, 0.0, 0.0), (math.nan, 0.0, 0.0)])
def test_an_offset_without_a_length_is_refused(offset: tuple[float, float, float]) -> None:
    assert refused(TurnLeg("c1", "dis", "d2", offset)).code == "ROUTE-02"


def test_a_leg_laid_on_its_neighbour_is_refused() -> None:
    error = refused(TurnLeg("c1", "dis", "d2", (0.0, 0.0, -1.0)))
    assert "d2" in str(error)
