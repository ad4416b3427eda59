"""Random trees of legs in space."""

from __future__ import annotations

from hypothesis import strategies as st

from linesizer.domain.route import Leg, Line, Node, Point, Service


def line(places: dict[str, Point], *pairs: tuple[str, str]) -> Line:
    """Return a line of nodes by name and legs by pair, legs named l0, l1, ..."""
    nodes = tuple(Node(name, at) for name, at in places.items())
    legs = tuple(Leg(f"l{index}", start, end, size="7/8") for index, (start, end) in enumerate(pairs))
    return Line("gas", Service.DISCHARGE, nodes, legs)


@st.composite
def trees(draw: st.DrawFn) -> Line:
    """Return a sound tree of up to a dozen legs that spreads from node 0 or gathers to it, its legs in any order.

    Node i stands on the i-th corner of a curve on which no three points lie in line, so no leg can lie on another.
    """
    count = draw(st.integers(1, 12))
    parents = [draw(st.integers(0, index)) for index in range(count)]
    places = {f"n{index}": (float(index), float(index**2), float(index**3) / 50.0) for index in range(count + 1)}
    pairs = [(f"n{parent}", f"n{child}") for child, parent in enumerate(parents, start=1)]
    if draw(st.booleans()):
        pairs = [(end, start) for start, end in pairs]
    return line(places, *draw(st.permutations(pairs)))
