"""The split between parallel condensers: what has to hold whatever the lines, and where it is known beforehand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.domain.equipment import Role
from linesizer.domain.job import Job
from linesizer.domain.result import LineResult
from linesizer.domain.route import LineEnd, Service
from linesizer.evaluate import solve
from tests.solver.condensers import FULL, LOW, condensers, gas, liquid, parallel_job, route

G = 9.80665


def lines(job: Job) -> dict[str, LineResult]:
    return {line.line.id: line for line in solve(job).circuits[0].lines}


def alike() -> Job:
    """Two condensers at the same distance on either side of the tees: nothing tells them apart."""
    up = route(
        Service.DISCHARGE,
        [("a", (0.0, 0.0, 0.0)), ("t", (0.0, 0.0, 3.0))],
        [("t", (0.0, 0.0, 3.0)), ("c", (6.0, 0.0, 3.0)), ("d", (6.0, 0.0, 5.0))],
        [("t", (0.0, 0.0, 3.0)), ("e", (-6.0, 0.0, 3.0)), ("g", (-6.0, 0.0, 5.0))],
        sizes={"t": "1-5/8", "c": "1-3/8", "d": "1-3/8", "e": "1-3/8", "g": "1-3/8"},
        ends=(LineEnd("a", "unit"), LineEnd("d", "near"), LineEnd("g", "far")),
    )
    down = route(
        Service.LIQUID,
        [("d", (6.0, 1.0, 5.0)), ("c", (6.0, 1.0, 2.0)), ("t", (0.0, 1.0, 2.0)), ("v", (0.0, 1.0, 0.0))],
        [("g", (-6.0, 1.0, 5.0)), ("e", (-6.0, 1.0, 2.0)), ("t", (0.0, 1.0, 2.0))],
        sizes={"c": "5/8", "t": "5/8", "e": "5/8", "v": "7/8"},
        ends=(LineEnd("d", "near"), LineEnd("g", "far"), LineEnd("v", "unit")),
    )
    return parallel_job(up, down)


def test_condensers_that_nothing_tells_apart_take_half_each() -> None:
    for line in lines(alike()).values():
        for branch in line.branches:
            assert branch.share == pytest.approx([0.5, 0.5], abs=1e-9)
        one, other = line.branches
        assert one.drop_Pa == pytest.approx(other.drop_Pa, rel=1e-9)
    assert lines(alike())["liquid"].branches[0].column_short_m == pytest.approx([0.0, 0.0], abs=1e-9)


@pytest.mark.parametrize("heat", [False, True])
@pytest.mark.parametrize("shares", [(None, None), (0.5, 0.5), (0.35, 0.65)])
def test_pressures_and_terms_agree_with_each_other(shares: tuple[float | None, float | None], heat: bool) -> None:
    # Warm enough that no gas condenses on its way: beyond that figures are indicative.
    mild = (replace(FULL, ambient_C=35.0), replace(LOW, ambient_C=28.0))
    solved = solve(parallel_job(shares=shares, heat_exchange=heat, conditions=mild)).circuits[0]
    up, down = solved.lines
    condensing = solved.conditions.condensing_Pa
    for line in solved.lines:
        assert line.flow is not None
        assert line.legs is not None
        terms = ("friction_Pa", "fittings_Pa", "parts_Pa", "acceleration_Pa", "static_Pa")
        assert sum(getattr(line.flow, term) for term in terms) == pytest.approx(line.flow.drop_Pa, rel=1e-6)
        of_legs = sum(getattr(line.legs, term) for term in terms)
        assert of_legs == pytest.approx(line.legs.inlet_Pa - line.legs.outlet_Pa, abs=0.01)
        assert sum(branch.share for branch in line.branches) == pytest.approx([1.0, 1.0], abs=1e-9)
        # A leg begins where the one before it on the way ends, at the tees too.
        for branch in line.branches:
            places = [line.legs.ids.index(leg) for leg in branch.legs]
            ends, begins = line.legs.outlet_Pa[places[:-1]], line.legs.inlet_Pa[places[1:]]
            assert begins == pytest.approx(ends, rel=1e-6)
            assert line.legs.inlet_Pa[places[0]] == pytest.approx(branch.inlet_Pa, rel=1e-6)
            assert line.legs.outlet_Pa[places[-1]] == pytest.approx(branch.outlet_Pa, rel=1e-6)
    # The lowest pressure at a condenser is the condensing pressure; the compressor meets one for all.
    assert np.min([branch.outlet_Pa for branch in up.branches], axis=0) == pytest.approx(condensing, rel=1e-8)
    for branch in up.branches:
        assert branch.inlet_Pa == pytest.approx(solved.conditions.discharge_Pa, rel=1e-8)
    # Liquid starts with what each condenser has (no drop is stated) and ends at one pressure.
    for one, other in zip(up.branches, down.branches, strict=True):
        assert other.inlet_Pa == pytest.approx(one.outlet_Pa, rel=1e-8)
    assert down.branches[0].outlet_Pa == pytest.approx(down.branches[1].outlet_Pa, rel=1e-8)
    assert down.flow is not None
    assert down.flow.outlet_Pa == pytest.approx(down.branches[0].outlet_Pa, rel=1e-8)


def test_open_shares_leave_the_same_loss_without_columns() -> None:
    """The balance as the method states it: gas with its column, then liquid without."""
    up, down = solve(parallel_job()).circuits[0].lines
    assert down.legs is not None
    lost = []
    for one, other in zip(up.branches, down.branches, strict=True):
        places = [down.legs.ids.index(leg) for leg in other.legs]
        flowing = (down.legs.friction_Pa + down.legs.fittings_Pa + down.legs.acceleration_Pa)[places].sum(axis=0)
        lost.append(one.drop_Pa + flowing)
    assert lost[0] == pytest.approx(lost[1], rel=2e-4)
    assert up.branches[0].share[0] > 0.52


def test_stated_shares_leave_a_column_that_balances() -> None:
    """What the ways cost differently stands as liquid: short by the difference over density and g."""
    up, down = solve(parallel_job(shares=(0.5, 0.5))).circuits[0].lines
    assert down.legs is not None
    lost = []
    for one, other in zip(up.branches, down.branches, strict=True):
        places = [down.legs.ids.index(leg) for leg in other.legs]
        flowing = (down.legs.friction_Pa + down.legs.fittings_Pa + down.legs.acceleration_Pa)[places].sum(axis=0)
        lost.append(one.drop_Pa + flowing)
    density = down.legs.density_kg_m3[down.legs.ids.index("at")]
    assert down.branches[0].column_short_m == pytest.approx((lost[1] - lost[0]) / (density * G), rel=2e-3)
    assert down.branches[1].column_short_m == pytest.approx([0.0, 0.0], abs=1e-9)
    assert down.branches[0].own_fall_m == pytest.approx(7.0)


def test_one_way_is_the_line() -> None:
    """A discharge line to the only condenser gives what it gives with that condenser at the end of a path."""
    whole = parallel_job()
    circuit = whole.circuits[0]
    unit, near, _ = circuit.equipment
    one = route(
        Service.DISCHARGE,
        [("a", (0.0, 0.0, 1.0)), ("b", (0.0, 0.0, 4.0)), ("c", (8.0, 0.0, 4.0)), ("d", (8.0, 0.0, 9.0))],
        sizes={"b": "1-5/8", "c": "1-5/8", "d": "1-5/8"},
        ends=(LineEnd("d", "near"),),
    )
    alone = replace(whole, circuits=(replace(circuit, lines=(one,), equipment=(unit, near)),))
    # A second condenser that gets next to nothing leaves the first what it has alone.
    second = replace(one, id="second", ends=(LineEnd("d", "idle"),))
    idle = replace(near, id="idle", share=1e-9)
    pair = replace(
        whole,
        circuits=(replace(circuit, lines=(one, second), equipment=(unit, replace(near, share=1.0 - 1e-9), idle)),),
    )
    single, shared = lines(alone)["gas"], lines(pair)["gas"]
    assert single.branches == ()
    assert single.flow is not None
    assert shared.flow is not None
    assert shared.flow.drop_Pa == pytest.approx(single.flow.drop_Pa, rel=1e-5)
    assert shared.flow.saturation_penalty_K == pytest.approx(single.flow.saturation_penalty_K, rel=1e-5)


def test_a_condenser_with_a_drop_of_its_own_takes_less() -> None:
    job = parallel_job(gas(8.001), liquid(8.001))
    circuit = job.circuits[0]
    unit, near, far = condensers()
    tight = replace(job, circuits=(replace(circuit, equipment=(unit, replace(near, drop_Pa=20e3, at_kg_s=0.3), far)),))
    share = lines(tight)["gas"].branches[0].share
    assert (share < 0.45).all()
    open_one = lines(job)["gas"].branches[0].share
    assert (share < open_one).all()


def test_three_condensers_share_and_all_paths_balance() -> None:
    job = parallel_job()
    circuit = job.circuits[0]
    up, down = circuit.lines
    far = (30.0, 0.0, 4.0)
    more = route(
        Service.DISCHARGE,
        [("e", (20.0, 0.0, 4.0)), ("h", far), ("i", (30.0, 0.0, 9.0))],
        sizes={"h": "1-3/8", "i": "1-3/8"},
    )
    back = route(
        Service.LIQUID,
        [("k", (30.0, 3.0, 9.0)), ("l", (30.0, 3.0, 2.0)), ("d", (20.0, 3.0, 2.0))],
        sizes={"l": "7/8", "d": "7/8"},
    )
    nodes = {node.id: node for node in (*up.nodes, *more.nodes)}
    liquids = {node.id: node for node in (*down.nodes, *back.nodes)}
    lines_of = (
        replace(up, nodes=tuple(nodes.values()), legs=(*up.legs, *more.legs), ends=(*up.ends, LineEnd("i", "last"))),
        replace(
            down, nodes=tuple(liquids.values()), legs=(*down.legs, *back.legs), ends=(LineEnd("k", "last"), *down.ends)
        ),
    )
    last = replace(circuit.equipment[2], id="last", name="Last one")
    solved = lines(replace(job, circuits=(replace(circuit, lines=lines_of, equipment=(*circuit.equipment, last)),)))
    gas_line, liquid_line = solved["gas"], solved["liquid"]
    for line in (gas_line, liquid_line):
        assert line.legs is not None
        for branch in line.branches:
            places = [line.legs.ids.index(leg) for leg in branch.legs]
            assert line.legs.inlet_Pa[places[1:]] == pytest.approx(line.legs.outlet_Pa[places[:-1]], rel=1e-6)
    assert [branch.equipment for branch in gas_line.branches] == ["near", "far", "last"]
    shares = {branch.equipment: branch.share for branch in gas_line.branches}
    assert (shares["near"] > shares["far"]).all()
    assert (shares["far"] > shares["last"]).all()
    assert sum(shares.values()) == pytest.approx([1.0, 1.0], abs=1e-9)
    # The leg to the far tee carries what both behind it take.
    assert gas_line.legs is not None
    flux = gas_line.legs.velocity_m_s * gas_line.legs.density_kg_m3 * gas_line.legs.inner_diameter_m[:, None] ** 2
    both, all_of_it = flux[gas_line.legs.ids.index("te")], flux[gas_line.legs.ids.index("bt")]
    assert both / all_of_it == pytest.approx(shares["far"] + shares["last"], rel=5e-3)
    assert {branch.equipment for branch in liquid_line.branches} == {"near", "far", "last"}


def test_drains_to_one_receiver_share_and_the_liquid_line_carries_all() -> None:
    unit, near, far = condensers()
    receiver = replace(unit, id="rec", role=Role.RECEIVER, operating_kg=None, volume_m3=0.05, operating_fill=0.3)
    drain = replace(liquid(), id="drain", service=Service.DRAIN, ends=(*liquid().ends[:2], LineEnd("v", "rec")))
    onward = route(
        Service.LIQUID,
        [("r", (0.0, 3.0, 0.4)), ("s", (-4.0, 3.0, 0.4))],
        sizes={"s": "1-1/8"},
        ends=(LineEnd("r", "rec"), LineEnd("s", "unit")),
    )
    solved = lines(parallel_job(gas(), drain, onward, equipment=(unit, near, far, receiver)))
    assert [branch.equipment for branch in solved["drain"].branches] == ["near", "far"]
    assert solved["liquid"].branches == ()
    flow = solved["liquid"].flow
    assert flow is not None
    assert flow.passes_flow.all()
    # Without a receiver the same route as a liquid line splits the flow the same way.
    as_liquid = lines(parallel_job(gas(), liquid(), equipment=(unit, near, far)))
    assert solved["gas"].branches[0].share == pytest.approx(as_liquid["gas"].branches[0].share, abs=0.02)


def test_a_flow_that_does_not_pass_says_so_and_nothing_else_is_a_number() -> None:
    up, down = solve(parallel_job(gas(trunk="1/2", branch="3/8"), liquid())).circuits[0].lines
    assert up.flow is not None
    assert up.flow.passes_flow.tolist() == [False, True]
    assert np.isnan(up.flow.drop_Pa).tolist() == [True, False]
    assert down.flow is not None
    assert down.flow.passes_flow.all()


def test_the_order_of_the_condensers_does_not_matter() -> None:
    job = parallel_job()
    circuit = job.circuits[0]
    unit, near, far = circuit.equipment
    turned = replace(job, circuits=(replace(circuit, equipment=(far, unit, near)),))
    one, other = lines(job), lines(turned)
    for name in one:
        mine = {branch.equipment: branch.share for branch in one[name].branches}
        theirs = {branch.equipment: branch.share for branch in other[name].branches}
        for condenser, share in mine.items():
            assert share == pytest.approx(theirs[condenser], abs=1e-7)


def test_two_liquid_lines_from_one_condenser_count_once() -> None:
    """Each is drawn to carry all that its condenser gives; the same line drawn twice changes nothing."""
    up, down = gas(), liquid()
    once, both = lines(parallel_job(up, down)), lines(parallel_job(up, down, replace(down, id="again")))
    assert both["gas"].branches[0].share == pytest.approx(once["gas"].branches[0].share, abs=1e-6)
    assert both["again"].branches[0].drop_Pa == pytest.approx(once["liquid"].branches[0].drop_Pa, rel=1e-6)
