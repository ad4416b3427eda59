"""What a route and its parts make of a line: which leg owns which loss, and how large it is."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import Line
from tests.solver.circuits import circuit, gas, liquid
from tests.solver.routes import condition


def test_default_parts_hold_at_the_greatest_flow() -> None:
    """A solenoid valve counts with its practice drop at the greatest flow and with the flow squared below it."""
    conditions = [condition("low", capacity_W=20e3), condition("full")]
    found = circuit(liquid(parts={0: [Part("s", "solenoid_valve")]}), conditions=conditions)
    flow = found.lines[0].flow
    assert flow is not None
    np.testing.assert_allclose(flow.parts_Pa, [14e3 / 9.0, 14e3], rtol=1e-6)
    assert flow.tube_penalty_K[1] < flow.saturation_penalty_K[1] - 0.2


@pytest.mark.parametrize(
    ("kind", "at_full_Pa", "k"),
    [("oil_separator", 15e3, None), ("regulator", 14e3, None), ("strainer", None, 2.0), ("relief_valve", 0.0, None)],
)
def test_each_form_of_a_default_loss(kind: str, at_full_Pa: float | None, k: float | None) -> None:
    """A drop holds at the greatest flow and goes with the flow squared; a K counts on the leg's velocity head."""
    conditions = [condition("low", capacity_W=20e3), condition("full")]
    found = circuit(liquid(parts={0: [Part("p", kind)]}), conditions=conditions)
    legs, flow = found.lines[0].legs, found.conditions.mass_flow_kg_s
    assert legs is not None
    if k is not None:
        density = legs.density_kg_m3[0]
        expected = k * 0.5 * density * (flow / density / (0.25 * np.pi * legs.inner_diameter_m[0] ** 2)) ** 2
    else:
        assert at_full_Pa is not None
        expected = at_full_Pa * (flow / flow[1]) ** 2
    np.testing.assert_allclose(legs.parts_Pa[0], expected, rtol=1e-6)


@pytest.mark.parametrize(
    ("loss", "expected_Pa"),
    [
        (PartLoss(drop_Pa=5e3), 5e3),
        (PartLoss(drop_Pa=5e3, at_kg_s=0.2), None),
        (PartLoss(k=3.0), None),
        (PartLoss(equivalent_length_m=4.0), None),
        (PartLoss(kv_m3_h=8.0), None),
    ],
)
def test_each_form_of_a_stated_loss(loss: PartLoss, expected_Pa: float | None) -> None:
    found = circuit(liquid(parts={1: [Part("p", "ball_valve", loss=loss)]}))
    legs, flow = found.lines[0].legs, found.conditions.mass_flow_kg_s[0]
    assert legs is not None
    density, bore = legs.density_kg_m3[1, 0], legs.inner_diameter_m[1]
    head = 0.5 * density * (flow / density / (0.25 * np.pi * bore**2)) ** 2
    if loss.k is not None:
        expected_Pa = loss.k * head
    elif loss.equivalent_length_m is not None:
        expected_Pa = legs.friction_factor[1, 0] * 4.0 / bore * head
    elif loss.kv_m3_h is not None:
        expected_Pa = 1e5 * density / 1000.0 * (3600.0 * flow / density / 8.0) ** 2
    elif loss.at_kg_s is not None:
        expected_Pa = 5e3 * (flow / 0.2) ** 2
    assert legs.parts_Pa[1, 0] == pytest.approx(expected_Pa, rel=1e-6)
    assert legs.parts_Pa[0, 0] == 0.0


RE_MOVES = 1e-4
"""Another fitting moves the drop, with it the gas and its Reynolds number, a little."""


def bends_m(line: Line) -> list[float]:
    legs = circuit(line).lines[0].legs
    assert legs is not None
    return legs.fitting_length_m[:, 0].tolist()


def test_the_leg_that_leaves_a_node_owns_its_bend() -> None:
    none, bend = bends_m(gas())
    assert none == 0.0
    assert bend > 0.3
    assert bends_m(gas(fittings={"n1": "none"})) == [0.0, 0.0]
    # A trap: three long elbows and six bores of tube.
    _, trap = bends_m(gas(fittings={"n1": "trap"}))
    assert trap == pytest.approx(3.0 * bend + 6.0 * 1.265 * 0.0254, rel=RE_MOVES)


def test_what_stands_at_an_end_belongs_to_the_leg_there() -> None:
    plain = bends_m(gas())
    first, last = bends_m(gas(fittings={"n0": "elbow_90_long", "n2": "elbow_90_long"}))
    assert first == pytest.approx(plain[1], rel=RE_MOVES)
    assert last == pytest.approx(2.0 * plain[1], rel=RE_MOVES)


def test_an_inverted_loop_adds_four_elbows_and_its_rise_twice() -> None:
    bend = bends_m(gas())[1]
    _, loop = bends_m(gas(fittings={"n2": "loop"}, id="gas"))
    assert loop - bend == pytest.approx(4.0 * bend + 2.0 * 0.15, rel=RE_MOVES)
