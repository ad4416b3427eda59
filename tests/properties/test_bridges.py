"""Bridged saturation points against a way of their own: CoolProp's sound points on both sides of the hole.

The design's bridge is a fit of ln p against 1/T through the points that CoolProp does give; its stated residual is
1e-4, and that is the tolerance here.  The tables are made otherwise, from equal fugacities.
"""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState

from linesizer.properties import library

FIT_RESIDUAL = 1e-4

HOLES = [
    # refrigerant, side, degrees C inside the hole, degrees C at which CoolProp answers
    ("R407F", "bubble", (48.5, 59.5), (35.0, 72.0)),
    ("R454B", "bubble", (56.5, 58.5), (40.0, 64.0)),
    ("R452B", "bubble", (55.0, 57.0), (40.0, 59.0)),
    ("R452A", "bubble", (58.0, 58.5), (40.0, 66.0)),
    ("R448A", "bubble", (65.0, 66.0), (45.0, 69.0)),
    ("R449A", "bubble", (65.0, 66.0), (45.0, 70.0)),
    ("R454A", "bubble", (67.0, 69.5), (45.0, 72.0)),
    ("R452B", "dew", (60.5, 61.5), (45.0, 69.0)),
    ("R454B", "dew", (62.5, 63.5), (45.0, 70.0)),
    ("R452A", "dew", (63.0, 63.5), (53.0, 67.0)),
]


@pytest.mark.parametrize(("name", "side", "hole", "sound"), HOLES)
def test_bridged_points_lie_on_the_fit_through_the_sound_ones(
    name: str, side: str, hole: tuple[float, float], sound: tuple[float, float]
) -> None:
    table = library.load(name)
    state = AbstractState("HEOS", f"{name}.mix")
    known = [t for t in np.arange(sound[0], sound[1] + 0.1, 0.5) if not hole[0] - 0.3 < t < hole[1] + 0.3]
    pressures = []
    for celsius in known:
        state.update(CoolProp.QT_INPUTS, 1.0 if side == "dew" else 0.0, celsius + 273.15)
        pressures.append(state.p())
    inverse = 1.0 / (np.array(known) + 273.15)
    middle, spread = inverse.mean(), np.ptp(inverse)
    fit = np.polynomial.Polynomial.fit((inverse - middle) / spread, np.log(pressures), 3)
    residual = np.abs(fit((inverse - middle) / spread) - np.log(pressures)).max()
    assert residual < FIT_RESIDUAL

    inside = np.linspace(*hole, 7) + 273.15
    found = table.dew_pressure(inside) if side == "dew" else table.bubble_pressure(inside)
    expected = np.exp(fit((1.0 / inside - middle) / spread))
    assert found == pytest.approx(expected, rel=FIT_RESIDUAL)
    # ... and the table says that it was bridged there.
    assert any(words.startswith(f"{side} points") for words in table.bridged)


def test_only_mixtures_are_bridged() -> None:
    bridged = {name for name in library.names() if library.load(name).bridged}
    assert bridged == {
        "R407F", "R448A", "R449A", "R452A", "R452B", "R454A", "R454B", "R454C", "R455A",
    }  # fmt: skip
