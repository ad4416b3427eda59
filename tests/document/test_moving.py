"""A node that is moved: what follows it, what takes the move up, and that square corners stay square."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesizer.document.commands.node import MoveNode, MoveNodeTo, SetLegLength
from linesizer.document.direction import Axis
from linesizer.document.moving import ACROSS_BELOW, carried_along
from linesizer.domain.geometry import line_geometry, route_problems
from linesizer.domain.job import Job
from linesizer.domain.route import Service
from tests.document.jobs import (
    EXAMPLE,
    acted,
    branching,
    length_m,
    line_in,
    long_chain,
    places,
    refused,
    route,
    with_lines,
)


def _move(node: str, axis: Axis, distance_m: float) -> MoveNode:
    return MoveNode("c1", "dis", node, axis, distance_m)


def test_lifting_an_elbow_lifts_the_level_run_and_stretches_the_risers() -> None:
    after = acted(_move("n3", Axis.UP, 1.6))
    assert places(after) == {
        "n1": (0.0, 0.0, 1.2),
        "n2": (0.0, 0.0, 5.0),
        "n3": (6.0, 0.0, 5.0),
        "n4": (6.0, 0.0, 9.0),
        "n5": (6.0, 4.0, 9.0),
    }
    assert _move("n3", Axis.UP, 1.6).label == "move n3"


def test_pushing_a_riser_sideways_takes_both_its_ends() -> None:
    after = acted(_move("n4", Axis.EAST, -2.0))
    assert places(after)["n3"] == (4.0, 0.0, 3.4)
    assert places(after)["n4"] == (4.0, 0.0, 9.0)
    # North of the riser the last run is across the move, and no leg beyond takes it up: the end goes along.
    assert places(after)["n5"] == (4.0, 4.0, 9.0)
    assert places(after)["n2"] == (0.0, 0.0, 3.4)
    assert line_in(after).ends == line_in(EXAMPLE).ends


def test_where_no_leg_takes_the_move_up_the_end_moves_along() -> None:
    after = acted(_move("n3", Axis.NORTH, 1.0))
    assert [at[1] for at in places(after).values()] == [1.0, 1.0, 1.0, 1.0, 4.0]
    assert length_m(after, "d4") == pytest.approx(3.0)


def test_a_branch_is_carried_like_any_other_leg() -> None:
    after = acted(_move("n2", Axis.UP, 1.0), branching())
    assert [at[2] for at in places(after).values()] == [0.0, 6.0, 6.0, 6.0, 6.0]


def test_a_leg_on_a_slant_takes_the_move_up_by_turning() -> None:
    line = route(
        "dis",
        Service.DISCHARGE,
        {"a": (0.0, 0.0, 0.0), "b": (3.0, 0.0, 3.0), "c": (8.0, 0.0, 3.0)},
        ("d1", "a", "b"),
        ("d2", "b", "c"),
    )
    after = acted(_move("c", Axis.UP, 1.0), with_lines(line))
    assert places(after) == {"a": (0.0, 0.0, 0.0), "b": (3.0, 0.0, 4.0), "c": (8.0, 0.0, 4.0)}


@pytest.mark.parametrize(("rise_m", "carried"), [(0.02 * 5, True), (0.2 * 5, False)])
def test_a_run_laid_to_a_fall_is_still_a_level_run(rise_m: float, carried: bool) -> None:
    line = route(
        "dis",
        Service.DISCHARGE,
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 3.0), "c": (5.0, 0.0, 3.0 - rise_m)},
        ("d1", "a", "b"),
        ("d2", "b", "c"),
    )
    assert (rise_m < ACROSS_BELOW * 5) == carried
    assert carried_along(line, "c", Axis.UP) == ({"b", "c"} if carried else {"c"})


@pytest.mark.parametrize(("rise_m", "carried"), [(0.5, True), (0.51, False)])
def test_across_is_judged_by_the_whole_length(rise_m: float, carried: bool) -> None:
    """A run of 5 m, 3 east and 4 north: 0.5 m of rise is 0.0995 of its length, 0.51 m is 0.1015."""
    line = route("dis", Service.DISCHARGE, {"a": (0.0, 0.0, 0.0), "b": (3.0, 4.0, rise_m)}, ("d1", "a", "b"))
    assert carried_along(line, "b", Axis.UP) == ({"a", "b"} if carried else {"b"})


def test_a_coordinate_that_does_not_move_keeps_its_last_bit() -> None:
    third = 1.0 / 3.0
    line = route("dis", Service.DISCHARGE, {"a": (third, 0.0, 0.0), "b": (third, 0.0, 2.0)}, ("d1", "a", "b"))
    after = acted(_move("b", Axis.UP, third), with_lines(line))
    assert places(after)["b"][0] == third


def test_zero_has_no_sign() -> None:
    line = route("dis", Service.DISCHARGE, {"a": (0.0, 0.0, -2.0), "b": (0.0, 0.0, 0.1)}, ("d1", "a", "b"))
    after = acted(_move("b", Axis.UP, -0.1 - 1e-12), with_lines(line))
    assert math.copysign(1.0, places(after)["b"][2]) == 1.0


def test_sums_leave_no_dust() -> None:
    after = acted(_move("n2", Axis.UP, 2.2 - 3.4 + 1.2 + 0.1), EXAMPLE)
    assert places(after)["n2"][2] == 3.5


def test_a_node_of_its_own_moves_alone() -> None:
    line = route("dis", Service.DISCHARGE, {"a": (0.0, 0.0, 0.0)})
    after = acted(_move("a", Axis.NORTH, 1.5), with_lines(line))
    assert places(after) == {"a": (0.0, 1.5, 0.0)}


def test_other_lines_are_shared_not_copied() -> None:
    other = route("liq", Service.LIQUID, {"a": (9.0, 9.0, 9.0)})
    job = with_lines(line_in(EXAMPLE), other)
    after = acted(_move("n3", Axis.UP, 1.0), job)
    assert after.circuits[0].lines[1] is other
    assert line_in(after).legs is line_in(job).legs
    assert after.site is job.site


@pytest.mark.parametrize(
    ("command", "why"),
    [
        (_move("n2", Axis.UP, -2.2), "has no length"),
        (_move("n3", Axis.UP, 1e9), "within 10000 m"),
        (_move("n3", Axis.UP, math.inf), "not a finite number"),
        (_move("n3", Axis.UP, math.nan), "not a finite number"),
        (_move("n9", Axis.UP, 1.0), "n1 to n5"),
        (MoveNode("c1", "liq", "n1", Axis.UP, 1.0), "dis"),
        (MoveNode("c9", "dis", "n1", Axis.UP, 1.0), "c1"),
        (MoveNodeTo("c1", "dis", "n3", (math.nan, 0.0, 0.0)), "not a finite number"),
        (MoveNodeTo("c1", "dis", "n3", (0.0, 0.0, 3.4), square=False), "no length"),
    ],
)
def test_a_move_that_cannot_be_is_refused(command: MoveNode | MoveNodeTo, why: str) -> None:
    assert why in str(refused(command))


def test_a_fold_onto_the_leg_before_is_refused() -> None:
    line = route(
        "dis",
        Service.DISCHARGE,
        {"a": (0.0, 0.0, 0.0), "b": (0.0, 0.0, 3.0), "c": (0.0, 0.0, 5.0)},
        ("d1", "a", "b"),
        ("d2", "b", "c"),
    )
    error = refused(_move("c", Axis.UP, -3.0), with_lines(line))
    assert error.what == "Cannot move c."
    assert 'leg "d2" lies on leg "d1"' in error.why or 'leg "d1" lies on leg "d2"' in error.why
    assert 'line "dis"' in error.why


def test_a_node_can_be_put_at_a_typed_place() -> None:
    after = acted(MoveNodeTo("c1", "dis", "n3", (7.1, 0.0, 4.4)))
    assert places(after)["n3"] == (7.1, 0.0, 4.4)
    assert places(after)["n2"] == (0.0, 0.0, 4.4)
    assert places(after)["n4"] == (7.1, 0.0, 9.0)
    free = acted(MoveNodeTo("c1", "dis", "n3", (7.1, 0.0, 4.4), square=False))
    assert places(free) == {**places(EXAMPLE), "n3": (7.1, 0.0, 4.4)}


def test_a_leg_changes_its_length_and_what_hangs_on_it_follows() -> None:
    command = SetLegLength("c1", "dis", "d2", 7.5)
    after = acted(command)
    assert command.label == "change length of d2"
    before = places(EXAMPLE)
    assert places(after) == {
        "n1": before["n1"],
        "n2": before["n2"],
        **{name: (before[name][0] + 1.5, *before[name][1:]) for name in ("n3", "n4", "n5")},
    }


def test_the_length_of_a_slanted_leg_changes_along_it() -> None:
    line = route("dis", Service.DISCHARGE, {"a": (0.0, 0.0, 0.0), "b": (3.0, 0.0, 4.0)}, ("d1", "a", "b"))
    after = acted(SetLegLength("c1", "dis", "d1", 10.0), with_lines(line))
    assert places(after)["b"] == (6.0, 0.0, 8.0)


def test_the_length_of_one_branch_leaves_the_other() -> None:
    after = acted(SetLegLength("c1", "dis", "d2", 6.0), branching())
    assert places(after)["n4"] == (-3.0, 0.0, 5.0)
    assert places(after)["n5"] == (6.0, 2.0, 5.0)


@pytest.mark.parametrize("length", [0.0, -1.0, 1e-5, math.nan, math.inf])
def test_a_length_that_is_none_is_refused(length: float) -> None:
    error = refused(SetLegLength("c1", "dis", "d2", length))
    assert (error.code, error.what) == ("ROUTE-02", "Cannot change length of d2.")


def _turns(job: Job) -> list[float]:
    return list(line_geometry(line_in(job)).turns_deg)


@given(
    node=st.integers(1, 41),
    axis=st.sampled_from(Axis),
    distance_m=st.floats(-0.4, 40.0).filter(lambda distance: abs(distance) > 1e-3),
)
def test_square_corners_stay_square_and_back_is_back(node: int, axis: Axis, distance_m: float) -> None:
    """A right angle is judged by the turn between neighbours, which ``line_geometry`` works out from the nodes."""
    job = long_chain(40)
    command = _move(f"n{node}", axis, distance_m)
    moved = command.apply(job)
    if route_problems(line_in(moved)):
        return
    assert _turns(moved) == pytest.approx(_turns(job))
    shift = [b - a for a, b in zip(places(job)[f"n{node}"], places(moved)[f"n{node}"], strict=True)]
    assert shift == pytest.approx([distance_m if axis.place == i else 0.0 for i in range(3)], abs=1e-8)
    back = _move(f"n{node}", axis, -distance_m).apply(moved)
    for name, at_m in places(back).items():
        assert at_m == pytest.approx(places(job)[name], abs=1e-8)


@given(leg=st.integers(1, 40), length=st.floats(0.1, 60.0))
def test_a_new_length_changes_no_other(leg: int, length: float) -> None:
    job = long_chain(40)
    after = SetLegLength("c1", "dis", f"d{leg}", length).apply(job)
    for other in (f"d{number}" for number in range(1, 41)):
        expected = length if other == f"d{leg}" else length_m(job, other)
        assert length_m(after, other) == pytest.approx(expected, abs=1e-8)
    assert _turns(after) == pytest.approx(_turns(job))
