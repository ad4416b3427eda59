"""Trees of legs: which ends each leg serves, in which order a person reads them."""

from __future__ import annotations

from hypothesis import given

from linesizer.domain.branches import branches, reading_order
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.route import Line
from tests.domain.trees import line, trees

PLACES = {
    "a": (0.0, 0.0, 0.0),
    "b": (0.0, 0.0, 2.0),
    "c": (3.0, 0.0, 2.0),
    "d": (3.0, 2.0, 2.0),
    "e": (-3.0, 0.0, 2.0),
    "f": (-3.0, 2.0, 2.0),
}
SPREADS = (("a", "b"), ("b", "c"), ("b", "e"), ("c", "d"), ("e", "f"))
"""Up, then east and west, and from both to the north; listed level by level, not branch by branch."""


def test_a_branch_is_read_to_its_end_before_the_next_begins() -> None:
    assert reading_order(line(PLACES, *SPREADS)) == ("l0", "l1", "l3", "l2", "l4")


def test_a_line_that_gathers_ends_with_what_all_flow_through() -> None:
    order = reading_order(line(PLACES, *((end, start) for start, end in SPREADS)))
    assert order[-1] == "l0"
    assert order.index("l3") + 1 == order.index("l1")
    assert order.index("l4") + 1 == order.index("l2")


def test_each_leg_serves_the_ends_beyond_it() -> None:
    found = branches(line(PLACES, *SPREADS))
    assert {name: (set(place.ends), place.whole) for name, place in found.items()} == {
        "l0": ({"d", "f"}, True),
        "l1": ({"d"}, False),
        "l2": ({"f"}, False),
        "l3": ({"d"}, False),
        "l4": ({"f"}, False),
    }


def test_a_broken_route_has_no_branches() -> None:
    assert branches(line(PLACES, ("a", "b"), ("c", "d"))) == {}


@given(trees())
def test_every_leg_is_read_once_and_behind_what_feeds_it(tree: Line) -> None:
    order = reading_order(tree)
    assert sorted(order) == sorted(leg.id for leg in tree.legs)
    place = {name: index for index, name in enumerate(order)}
    for first in tree.legs:
        for second in tree.legs:
            if first.end == second.start:
                assert place[first.id] < place[second.id]


@given(trees())
def test_the_common_legs_serve_all_ends_and_others_part_them(tree: Line) -> None:
    """At a tee the ends of the one side are parted among the legs of the other, none served twice."""
    found = branches(tree)
    geometry = line_geometry(tree)
    gathers = geometry.shape is Shape.GATHERS
    for node in tree.nodes:
        inner = [leg for leg in tree.legs if (leg.start if gathers else leg.end) == node.id]
        outer = [leg for leg in tree.legs if (leg.end if gathers else leg.start) == node.id]
        if inner and outer:
            parts = [found[leg.id].ends for leg in outer]
            assert frozenset().union(*parts) == found[inner[0].id].ends
            assert sum(map(len, parts)) == len(found[inner[0].id].ends)


def test_branches_that_leave_the_source_itself_are_read_as_they_are_listed() -> None:
    assert reading_order(line(PLACES, ("b", "c"), ("b", "e"), ("c", "d"))) == ("l0", "l2", "l1")
