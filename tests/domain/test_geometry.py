"""Order of flow, turns, slopes and what is wrong with a route."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from linesizer.domain.geometry import (
    Shape,
    leg_geometry,
    line_geometry,
    route_problems,
    turn_deg,
)
from linesizer.domain.route import Leg, Line, Node, Point, Service
from tests.domain.trees import line, trees

SQUARE: dict[str, Point] = {
    "a": (0.0, 0.0, 0.0),
    "b": (4.0, 0.0, 0.0),
    "c": (4.0, 3.0, 0.0),
    "d": (0.0, 3.0, 0.0),
    "e": (4.0, 3.0, 5.0),
}


def ids(of: Line) -> list[str]:
    return [geometry.leg.id for geometry in line_geometry(of).legs]


# --- one leg


def test_a_legs_length_rise_and_direction() -> None:
    leg = leg_geometry(0, Leg("l", "a", "b"), (1.0, 2.0, 3.0), (3.0, 5.0, 9.0))
    assert leg.length_m == pytest.approx(7.0)
    assert leg.rise_m == 6.0
    assert leg.run_m == pytest.approx(math.sqrt(13.0))
    assert leg.direction == pytest.approx((2.0 / 7.0, 3.0 / 7.0, 6.0 / 7.0))
    assert leg.slope == pytest.approx(6.0 / math.sqrt(13.0))


def test_the_slope_of_a_riser_and_of_a_drop() -> None:
    up = leg_geometry(0, Leg("l", "a", "b"), (0.0, 0.0, 0.0), (0.0, 0.0, 2.0))
    down = leg_geometry(0, Leg("l", "a", "b"), (0.0, 0.0, 2.0), (0.0, 0.0, 0.0))
    level = leg_geometry(0, Leg("l", "a", "b"), (0.0, 0.0, 2.0), (9.0, 0.0, 2.0))
    assert (up.slope, down.slope, level.slope) == (math.inf, -math.inf, 0.0)


@pytest.mark.parametrize("angle", [0.005, 0.02, 30.0, 45.0, 90.0, 120.0, 180.0])
def test_turns_of_any_angle(angle: float) -> None:
    """Below a hundredth of a degree a run goes straight on."""
    radians = math.radians(angle)
    found = turn_deg((1.0, 0.0, 0.0), (math.cos(radians), 0.0, math.sin(radians)))
    assert found == pytest.approx(0.0 if angle < 0.01 else angle, abs=1e-9)


# --- order of flow


def test_a_chain_in_any_order_of_writing() -> None:
    written = line(SQUARE, ("c", "e"), ("a", "b"), ("b", "c"))
    found = line_geometry(written)
    assert [geometry.leg.id for geometry in found.legs] == ["l1", "l2", "l0"]
    assert [geometry.index for geometry in found.legs] == [1, 2, 0]
    assert (found.shape, found.sources, found.sinks) == (Shape.CHAIN, ("a",), ("e",))
    assert found.turns_deg == pytest.approx((0.0, 90.0, 90.0))
    assert found.length_m == pytest.approx(12.0)
    assert found.rise_m == 5.0


def test_a_chain_backwards() -> None:
    back = line_geometry(line(SQUARE, ("e", "c"), ("b", "a"), ("c", "b")))
    assert [geometry.leg.id for geometry in back.legs] == ["l0", "l2", "l1"]
    assert back.rise_m == -5.0
    assert [geometry.rise_m for geometry in back.legs] == [-5.0, 0.0, 0.0]


def test_straight_on_is_no_turn() -> None:
    places: dict[str, Point] = {"a": (0.0, 0.0, 0.0), "b": (0.1, 0.2, 0.3), "c": (0.3, 0.6, 0.9)}
    assert line_geometry(line(places, ("a", "b"), ("b", "c"))).turns_deg == (0.0, 0.0)


def test_lines_that_spread_and_gather() -> None:
    spreads = line_geometry(line(SQUARE, ("a", "b"), ("b", "c"), ("b", "d")))
    assert (spreads.shape, spreads.sources, spreads.sinks) == (Shape.SPREADS, ("a",), ("c", "d"))
    gathers = line_geometry(line(SQUARE, ("c", "b"), ("d", "b"), ("b", "a")))
    assert (gathers.shape, gathers.sources, gathers.sinks) == (Shape.GATHERS, ("c", "d"), ("a",))
    assert gathers.legs[-1].leg.id == "l2"


def test_no_legs() -> None:
    empty = line_geometry(line(SQUARE))
    assert (empty.shape, empty.legs, empty.length_m, empty.rise_m) == (Shape.EMPTY, (), 0.0, 0.0)
    assert route_problems(line(SQUARE)) == ()


def test_the_geometry_is_remembered_for_the_same_line_only() -> None:
    first = line(SQUARE, ("a", "b"))
    held = line_geometry(first)
    assert line_geometry(first) is held
    moved = replace(first, nodes=(first.nodes[0], Node("b", (9.0, 0.0, 0.0)), *first.nodes[2:]))
    assert line_geometry(moved).length_m == 9.0
    for index in range(200):
        line_geometry(line({"a": (0.0, 0.0, 0.0), "b": (1.0 + index, 0.0, 0.0)}, ("a", "b")))
    assert line_geometry(first).length_m == held.length_m


@settings(max_examples=80, deadline=None)
@given(trees())
def test_random_trees_are_sound_and_in_the_order_of_flow(tree: Line) -> None:
    assert route_problems(tree) == ()
    found = line_geometry(tree)
    assert sorted(ids(tree)) == sorted(leg.id for leg in tree.legs)
    arriving = {name: [leg for leg in tree.legs if leg.end == name] for name in (node.id for node in tree.nodes)}
    seen: set[str] = set()
    for geometry, turn in zip(found.legs, found.turns_deg, strict=True):
        # All that arrives at a leg's start comes before it.
        assert {leg.id for leg in arriving[geometry.leg.start]} <= seen
        assert (turn == 0.0) == (not arriving[geometry.leg.start])
        assert geometry.leg is tree.legs[geometry.index]
        seen.add(geometry.leg.id)
    assert set(found.sources) == {leg.start for leg in tree.legs if not arriving[leg.start]}
    leaving = {leg.start for leg in tree.legs}
    assert set(found.sinks) == {leg.end for leg in tree.legs if leg.end not in leaving}
    assert len(found.sources) == 1 or len(found.sinks) == 1
    branching = len(found.sources) > 1 or len(found.sinks) > 1
    assert (found.shape is Shape.CHAIN) == (not branching)


@settings(max_examples=80, deadline=None)
@given(trees(), st.data())
def test_one_leg_more_between_two_nodes_closes_a_loop(tree: Line, data: st.DataObject) -> None:
    names = [node.id for node in tree.nodes]
    first, second = data.draw(st.permutations(names))[:2]
    looped = replace(tree, legs=(*tree.legs, Leg("extra", first, second)))
    problems = route_problems(looped)
    assert any("closes a loop" in problem.found for problem in problems)
    last = len(tree.legs)
    assert any(problem.where == f"legs[{last}]" and '"extra"' in problem.found for problem in problems)


@settings(max_examples=80, deadline=None)
@given(trees(), st.data())
def test_a_leg_turned_round_is_sound_just_where_flow_still_has_one_source_or_one_sink(
    tree: Line, data: st.DataObject
) -> None:
    index = data.draw(st.integers(0, len(tree.legs) - 1))
    leg = tree.legs[index]
    turned = replace(
        tree, legs=(*tree.legs[:index], replace(leg, start=leg.end, end=leg.start), *tree.legs[index + 1 :])
    )
    arrivals = [sum(one.end == node.id for one in turned.legs) for node in turned.nodes]
    departures = [sum(one.start == node.id for one in turned.legs) for node in turned.nodes]
    one_way = max(arrivals) <= 1 or max(departures) <= 1
    assert (route_problems(turned) == ()) == one_way


# --- what is wrong


def test_nodes_that_do_not_exist() -> None:
    problems = route_problems(line(SQUARE, ("a", "x"), ("y", "b")))
    assert [problem.where for problem in problems] == ["legs[0].to", "legs[1].from"]
    assert 'no node named "x"' in problems[0].found
    assert problems[0].allowed == "nodes of this line: a, b, c, d, e"
    many = line({f"n{index}": (float(index), 0.0, 0.0) for index in range(9)}, ("n0", "q"))
    assert route_problems(many)[0].allowed == "nodes of this line: n0 to n8 (9 nodes)"
    assert "no nodes" in route_problems(line({}, ("a", "b")))[0].allowed


def test_a_leg_without_length() -> None:
    places: dict[str, Point] = {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 5e-5), "c": (1.0, 0.0, 0.0)}
    (problem,) = route_problems(line(places, ("a", "b")))
    assert problem.where == "legs[0]"
    assert "no length" in problem.found
    assert route_problems(line(places, ("a", "a")))[0].where == "legs[0]"


def test_a_loop_by_coming_back() -> None:
    problems = route_problems(line(SQUARE, ("a", "b"), ("b", "c"), ("c", "d"), ("d", "a")))
    assert [problem.where for problem in problems] == ["legs[3]"]
    assert '"l3"' in problems[0].found


def test_pieces_that_do_not_hang_together() -> None:
    (problem,) = route_problems(line(SQUARE, ("a", "b"), ("c", "e")))
    assert problem.where == "legs[1]"
    assert 'not connected to leg "l0"' in problem.found


def test_flow_that_gathers_and_spreads() -> None:
    places = SQUARE | {"f": (9.0, 9.0, 9.0)}
    (problem,) = route_problems(line(places, ("a", "b"), ("d", "b"), ("b", "c"), ("c", "e"), ("c", "f")))
    assert 'gathers at node "b"' in problem.found
    assert 'spreads at node "c"' in problem.found


@pytest.mark.parametrize(
    ("end", "overlaps"),
    [
        ((3.0, 0.0, 0.0), True),
        ((4.5, 0.0, 0.0), True),
        ((0.0, 1.0, 0.0), False),
        ((3.0, 0.0, 0.001), False),
        ((3.0, 0.5, 0.0), False),
    ],
)
def test_two_legs_at_one_place(end: Point, overlaps: bool) -> None:
    """A second leg from the first one's start along it, over it, or off to the side."""
    problems = route_problems(line(SQUARE | {"x": end}, ("a", "b"), ("a", "x")))
    assert bool(problems) == overlaps
    if overlaps:
        assert problems[0].where in ("legs[0]", "legs[1]")
        assert "lies on leg" in problems[0].found


def test_a_leg_that_doubles_back_lies_on_the_one_before() -> None:
    places: dict[str, Point] = {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 5.0), "c": (0.0, 0.0, 2.0)}
    problems = route_problems(line(places, ("a", "b"), ("b", "c")))
    assert len(problems) == 1


@pytest.mark.parametrize("direction", [(1.0, 0.0, 0.0), (0.3, -0.7, 0.2), (0.0, 0.0, -1.0)])
def test_overlap_in_any_direction_and_place(direction: Point) -> None:
    def at(along: float, aside: float = 0.0) -> Point:
        return (
            3.337 + along * direction[0],
            -7.1 + along * direction[1] + aside,
            0.25 + along * direction[2],
        )

    on = {"a": at(0.0), "b": at(4.0), "c": at(4.0, 2.0), "d": at(2.0, 2.0), "e": at(2.0), "f": at(3.0)}
    there = line(on, ("a", "b"), ("b", "c"), ("c", "d"), ("d", "e"), ("e", "f"))
    assert any("lies on leg" in problem.found for problem in route_problems(there))
    end_to_end = line({"a": at(0.0), "b": at(4.0), "c": at(9.0)}, ("a", "b"), ("b", "c"))
    assert route_problems(end_to_end) == ()


def test_legs_that_cross_or_meet_at_a_point_are_sound() -> None:
    places: dict[str, Point] = {
        "a": (0.0, 0.0, 0.0),
        "b": (4.0, 0.0, 0.0),
        "c": (4.0, 2.0, 0.0),
        "d": (2.0, 2.0, 0.0),
        "e": (2.0, -2.0, 0.0),
    }
    assert route_problems(line(places, ("a", "b"), ("b", "c"), ("c", "d"), ("d", "e"))) == ()


def test_an_unsound_route_has_no_order() -> None:
    with pytest.raises(ValueError, match="not a tree"):
        line_geometry(line(SQUARE, ("a", "b"), ("b", "c"), ("c", "d"), ("d", "b")))


def test_services_do_not_matter_to_geometry() -> None:
    chain = line(SQUARE, ("a", "b"), ("b", "c"))
    assert ids(replace(chain, service=Service.LIQUID)) == ids(chain)
