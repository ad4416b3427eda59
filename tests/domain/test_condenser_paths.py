"""The ways through lines to and from parallel condensers: which legs, whose flow, which tees, and what cannot be."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesizer.domain.condenser_paths import branch_problem, parallel_condensers
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import FittingAt, LineEnd, Service
from tests.solver.condensers import gas, liquid, parallel_job, route


def test_each_condenser_has_its_way_through_both_lines() -> None:
    found = parallel_condensers(parallel_job().circuits[0])
    assert found is not None
    assert [item.id for item in found.condensers] == ["near", "far"]
    ways = {(name, path.condenser): path for name, paths in found.paths.items() for path in paths}
    legs = {key: [leg.id for leg in path.chain.legs] for key, path in ways.items()}
    assert legs == {
        ("gas", "near"): ["ab", "bt", "tc", "cd"],
        ("gas", "far"): ["ab", "bt", "te", "ef", "fg"],
        ("liquid", "near"): ["at", "tu", "uv"],
        ("liquid", "far"): ["cd", "dt", "tu", "uv"],
    }
    assert ways["gas", "near"].own == (False, False, True, True)
    assert ways["gas", "near"].serves[0] == {"near", "far"}
    assert ways["liquid", "far"].own == (True, True, False, False)
    # At the tee the near riser turns up through the branch while the far run goes straight on; the loss is on the leg
    # that leaves, in the velocity head of the one that carries all.
    (turned,), (straight,) = ways["gas", "near"].tees, ways["gas", "far"].tees
    assert (turned.owner, turned.common, turned.straight) == (2, 1, False)
    assert (straight.owner, straight.common, straight.straight) == (2, 1, True)
    # Where liquid gathers, the leg that arrives owns it.
    (fallen,), (along,) = ways["liquid", "near"].tees, ways["liquid", "far"].tees
    assert (fallen.owner, fallen.common, fallen.straight) == (0, 1, False)
    assert (along.owner, along.common, along.straight) == (1, 2, True)


def test_legs_stand_branch_by_branch() -> None:
    """A leg follows the one that feeds it down to the branch's end before the next branch begins."""
    assert [own.leg.id for own in line_geometry(gas()).legs] == ["ab", "bt", "tc", "cd", "te", "ef", "fg"]
    assert [own.leg.id for own in line_geometry(liquid()).legs] == ["at", "cd", "dt", "tu", "uv"]


def test_a_stated_fitting_takes_the_place_of_the_tee() -> None:
    drawn = replace(gas(), fittings=(FittingAt("t", "none"),))
    found = parallel_condensers(parallel_job(drawn, liquid()).circuits[0])
    assert found is not None
    assert [path.tees for path in found.paths["gas"]] == [(), ()]


def test_lines_of_their_own_share_the_flow_too() -> None:
    near = route(
        Service.DISCHARGE,
        [("a", (0.0, 0.0, 1.0)), ("b", (8.0, 0.0, 1.0))],
        sizes={"b": "1-3/8"},
        id="one",
        ends=(LineEnd("b", "near"),),
    )
    far = replace(near, id="two", ends=(LineEnd("b", "far"),))
    found = parallel_condensers(parallel_job(near, far).circuits[0])
    assert found is not None
    assert {name: [path.condenser for path in paths] for name, paths in found.paths.items()} == {
        "one": ["near"],
        "two": ["far"],
    }
    assert found.paths["one"][0].chain is near
    assert found.paths["one"][0].own == (True,)


def test_one_condenser_takes_all() -> None:
    whole = parallel_job().circuits[0]
    assert parallel_condensers(replace(whole, equipment=whole.equipment[:2], lines=())) is None


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        ((LineEnd("d", "near"), LineEnd("g", "near")), "branches to nodes d and g, both tied to Near one"),
        ((LineEnd("d", "near"), LineEnd("g", "unit")), "branches to node g, to which no condenser is tied"),
    ],
)
def test_what_cannot_be_split(ends: tuple[LineEnd, ...], words: str) -> None:
    line = replace(gas(), ends=ends)
    assert branch_problem(parallel_job(line, liquid()).circuits[0], line) == words


def test_a_discharge_line_that_gathers_is_not_split() -> None:
    line = replace(liquid(), service=Service.DISCHARGE)
    assert branch_problem(parallel_job(line).circuits[0], line) == "gathers"
