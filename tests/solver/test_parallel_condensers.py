"""Several condensers in parallel against ``network_reference.py``: CoolProp, fluids, an adaptive integration, scipy.

Bounds as the design states them: drops within 0.3 %, shares within 0.2 % absolute, mass flow within 0.05 %, discharge
temperature within 0.05 K.  A column follows from the drops: 0.3 % of what a branch resists, as metres of its liquid.
All liquid paths end at one pressure, the lowest that full columns would give; the others stand short of full.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.result import CircuitResult, LineResult
from linesizer.domain.route import Line, LineEnd, Point, Service
from linesizer.evaluate import solve
from tests.solver.network_reference import NoBalanceError, Split
from tests.solver.parallel_circuits import EFFICIENCY, Parallel, path, tree
from tests.solver.reference_path import GRAVITY
from tests.solver.routes import ORIGIN, chain, condition

DROP, SHARE, FLOW, DISCHARGE_K = 0.003, 0.002, 0.0005, 0.05
FULL = condition("full", isentropic_efficiency=EFFICIENCY)
PART = condition("part", capacity_W=25e3, condensing_C=38.0, isentropic_efficiency=EFFICIENCY)


def condensers(*names: str) -> tuple[Equipment, ...]:
    return tuple(Equipment(name, Role.CONDENSER) for name in names)


def two(refrigerant: str = "R134a", *, higher_m: float = 0.0, far_outlet_m: float | None = None) -> Parallel:
    """Return a near condenser, straight on behind the tee, and a far one round a corner that may stand higher.

    ``far_outlet_m`` puts the far one's liquid connection elsewhere than at that height; the header is at 1 m.
    """
    top = 4.0 + higher_m
    gas_nodes: dict[str, Point] = {
        "u": ORIGIN,
        "a": (0.0, 0.0, 4.0),
        "t": (6.0, 0.0, 4.0),
        "near": (9.0, 0.0, 4.0),
        "b": (6.0, 9.0, 4.0),
    }
    gas_legs = [("u", "a", "1-3/8"), ("a", "t", "1-3/8"), ("t", "near", "1-1/8"), ("t", "b", "1-1/8")]
    far = "b"
    if higher_m:
        gas_nodes["far"] = (6.0, 9.0, top)
        gas_legs.append(("b", "far", "1-1/8"))
        far = "far"
    gas = tree(Service.DISCHARGE, gas_nodes, gas_legs, {"u": "unit", "near": "near", far: "far"})
    liquid = tree(
        Service.LIQUID,
        {
            "near": (9.0, 0.5, 4.0),
            "c": (9.0, 0.5, 1.0),
            "far": (6.0, 9.5, top if far_outlet_m is None else far_outlet_m),
            "d": (6.0, 9.5, 1.0),
            "t": (6.0, 0.5, 1.0),
            "e": (0.0, 0.5, 1.0),
            "u": (0.0, 0.5, 0.2),
        },
        [
            ("near", "c", "3/4"),
            ("c", "t", "3/4"),
            ("far", "d", "3/4"),
            ("d", "t", "3/4"),
            ("t", "e", "7/8"),
            ("e", "u", "7/8"),
        ],
        {"near": "near", "far": "far", "u": "unit"},
    )
    return Parallel(gas, liquid, condensers("near", "far"), refrigerant)


def three() -> Parallel:
    """Return three condensers at tees one behind the other, so that one header leg carries two of them."""
    gas = tree(
        Service.DISCHARGE,
        {
            "u": ORIGIN,
            "t1": (0.0, 0.0, 5.0),
            "t2": (4.0, 0.0, 5.0),
            "c1": (0.0, 3.0, 5.0),
            "c2": (4.0, 4.0, 5.0),
            "c3": (12.0, 0.0, 5.0),
        },
        [
            ("u", "t1", "1-5/8"),
            ("t1", "t2", "1-3/8"),
            ("t1", "c1", "7/8"),
            ("t2", "c2", "7/8"),
            ("t2", "c3", "1-1/8"),
        ],
        {"u": "unit", "c1": "c1", "c2": "c2", "c3": "c3"},
    )
    liquid = tree(
        Service.LIQUID,
        {
            "c1": (0.0, 3.0, 5.0),
            "f1": (0.0, 3.0, 1.0),
            "c2": (4.0, 4.0, 5.0),
            "f2": (4.0, 4.0, 1.0),
            "c3": (12.0, 0.0, 5.0),
            "f3": (12.0, 0.0, 1.0),
            "t2": (4.0, 0.0, 1.0),
            "t1": (0.0, 0.0, 1.0),
            "u": (-5.0, 0.0, 1.0),
        },
        [
            ("c1", "f1", "5/8"),
            ("f1", "t1", "5/8"),
            ("c2", "f2", "5/8"),
            ("f2", "t2", "5/8"),
            ("c3", "f3", "5/8"),
            ("f3", "t2", "5/8"),
            ("t2", "t1", "7/8"),
            ("t1", "u", "7/8"),
        ],
        {"c1": "c1", "c2": "c2", "c3": "c3", "u": "unit"},
    )
    return Parallel(gas, liquid, condensers("c1", "c2", "c3"))


def lines(found: CircuitResult) -> tuple[LineResult, LineResult]:
    gas, liquid = found.lines
    assert gas.flow is not None
    assert liquid.flow is not None
    return gas, liquid


def agreed(of: Parallel, *conditions: Condition) -> tuple[CircuitResult, list[Split]]:
    """Solve and compare with the reference at every condition; return both."""
    found = solve(of.job(*conditions)).circuits[0]
    references = [of.reference(one) for one in conditions]
    gas, liquid = lines(found)
    for line in (gas, liquid):
        assert [branch.equipment for branch in line.branches] == [one.id for one in of.condensers]
        assert [branch.legs for branch in line.branches] == [path(line.line, one.id) for one in of.condensers]
        np.testing.assert_allclose(sum(branch.share for branch in line.branches), 1.0, rtol=1e-9)
    for at, expected in enumerate(references):
        assert_condition(found, at, expected)
        discharge_K = of.running(conditions[at]).discharge_K(expected.discharge_Pa)
        assert found.conditions.discharge_C[at] == pytest.approx(discharge_K - 273.15, rel=0.0, abs=DISCHARGE_K)
    return found, references


def assert_condition(found: CircuitResult, at: int, expected: Split) -> None:
    gas, liquid = lines(found)
    of = found.conditions
    assert of.mass_flow_kg_s[at] == pytest.approx(expected.flow_kg_s, rel=FLOW)
    assert min(branch.outlet_Pa[at] for branch in gas.branches) == pytest.approx(of.condensing_Pa[at], rel=1e-7)
    # Pressures are held by the drops that make them: 0.3 % of those.
    along_Pa = DROP * expected.resistance_Pa[0]
    for index, share in enumerate(expected.shares):
        hot, cold = gas.branches[index], liquid.branches[index]
        assert hot.share[at] == pytest.approx(share, rel=0.0, abs=SHARE)
        assert cold.share[at] == hot.share[at]
        assert hot.inlet_Pa[at] == of.discharge_Pa[at]
        assert hot.drop_Pa[at] == pytest.approx(expected.gas[index].drop_Pa, rel=DROP)
        to_sink_Pa = expected.liquid[index].inlet_Pa - expected.sink_Pa
        # A fall may give back nearly all that friction takes; then the drop is held by the part that flows.
        assert cold.drop_Pa[at] == pytest.approx(to_sink_Pa, rel=DROP, abs=DROP * expected.liquid[index].dynamic_Pa)
        assert cold.inlet_Pa[at] == pytest.approx(expected.liquid[index].inlet_Pa, rel=0.0, abs=along_Pa)
        for branch in (hot, cold):
            assert branch.inlet_Pa[at] - branch.outlet_Pa[at] == pytest.approx(branch.drop_Pa[at], rel=1e-9, abs=1e-3)
        density = expected.liquid[index].own_density
        column_m = along_Pa / (density * GRAVITY)
        assert cold.column_short_m[at] == pytest.approx(expected.column_short_m[index], rel=0.0, abs=column_m)
    assert min(branch.column_short_m[at] for branch in liquid.branches) == 0.0
    assert liquid.flow is not None
    for branch in liquid.branches:
        assert branch.outlet_Pa[at] == pytest.approx(liquid.flow.outlet_Pa[at], rel=1e-7)
    assert liquid.flow.outlet_Pa[at] == pytest.approx(expected.sink_Pa, rel=0.0, abs=along_Pa)


@pytest.mark.parametrize("refrigerant", ["R134a", "R410A"])
def test_two_unequal_branches_of_one_height(refrigerant: str) -> None:
    _, references = agreed(two(refrigerant), FULL, PART)
    # The case is worth its name: far from halves, and the columns have next to nothing to balance.
    for split in references:
        assert 0.54 < split.shares[0] < 0.7
        assert max(split.column_short_m) < 1e-4


def test_three_branches() -> None:
    _, references = agreed(three(), FULL, PART)
    assert len({round(share, 2) for share in references[0].shares}) == 3


def test_the_higher_condenser_has_the_longer_column() -> None:
    """4 m more of fall than the near one's, which has 3 m: full, it would press more at the sink."""
    found, references = agreed(two(higher_m=4.0), FULL, PART)
    near, far = lines(found)[1].branches
    assert far.column_short_m[0] == pytest.approx(4.0, abs=0.05)
    assert near.column_short_m[0] == 0.0
    # The taller gas column is part of what has to be alike: the far one takes less than at one height.
    assert references[0].shares[1] < two().reference(FULL).shares[1]


def test_liquid_that_has_to_climb_to_the_header_takes_less() -> None:
    """Connected 0.3 m below the header, the far one's own column counts like a loss; the other's fall does not."""
    level, climbs = two(), two(far_outlet_m=0.7)
    _, references = agreed(climbs, FULL, PART)
    for split, one in zip(references, (FULL, PART), strict=True):
        assert split.liquid[1].own_static_Pa == pytest.approx(0.3 * GRAVITY * split.liquid[1].own_density, rel=1e-3)
        assert split.shares[1] < level.reference(one).shares[1] - 0.03


def test_a_climb_beyond_what_the_other_way_resists_leaves_no_split() -> None:
    """0.8 m of R134a is 9 kPa: at full load the near way resists more, at part load less."""
    pair = two(far_outlet_m=0.2)
    agreed(pair, FULL)
    with pytest.raises(NoBalanceError):
        pair.reference(PART)
    found = [finding for finding in solve(pair.job(FULL, PART)).findings if finding.code == "split_impossible"]
    assert [finding.condition for finding in found] == ["part"]


def test_a_condenser_with_a_drop_of_its_own_takes_less() -> None:
    with_drop = two().changed("near", drop_Pa=15e3, at_kg_s=0.2)
    _, references = agreed(with_drop, FULL, PART)
    assert references[0].shares[0] < two().reference(FULL).shares[0] - 0.05


def test_stated_shares_are_kept_and_the_columns_balance() -> None:
    """Halves where the far branch resists more: the near one's liquid stands short by the difference."""
    halves = two().changed("near", share=0.5).changed("far", share=0.5)
    found, references = agreed(halves, FULL, PART)
    near, far = lines(found)[1].branches
    np.testing.assert_array_equal(near.share, [0.5, 0.5])
    np.testing.assert_array_equal(far.column_short_m, [0.0, 0.0])
    for split in references:
        difference_Pa = split.resistance_Pa[1] - split.resistance_Pa[0]
        assert difference_Pa > 500.0
        short_m = difference_Pa / (GRAVITY * split.liquid[0].own_density)
        assert split.column_short_m[0] == pytest.approx(short_m, rel=1e-3)


def test_one_share_that_is_stated_leaves_the_rest_to_the_others() -> None:
    found, _ = agreed(three().changed("c2", share=0.5), FULL)
    assert lines(found)[0].branches[1].share[0] == pytest.approx(0.5, rel=1e-12)


def equal_pair() -> Parallel:
    """Return two condensers as mirror images of each other, from the source on and into the sink."""
    gas = tree(
        Service.DISCHARGE,
        {"u": ORIGIN, "a": (0.0, 5.0, 0.0), "b": (0.0, -5.0, 0.0), "ca": (0.0, 5.0, 6.0), "cb": (0.0, -5.0, 6.0)},
        [("u", "a", "1-1/8"), ("u", "b", "1-1/8"), ("a", "ca", "1-1/8"), ("b", "cb", "1-1/8")],
        {"u": "unit", "ca": "ca", "cb": "cb"},
    )
    liquid = tree(
        Service.LIQUID,
        {
            "ca": (1.0, 5.0, 6.0),
            "cb": (1.0, -5.0, 6.0),
            "a": (1.0, 5.0, 0.0),
            "b": (1.0, -5.0, 0.0),
            "u": (1.0, 0.0, 0.0),
        },
        [("ca", "a", "5/8"), ("cb", "b", "5/8"), ("a", "u", "5/8"), ("b", "u", "5/8")],
        {"ca": "ca", "cb": "cb", "u": "unit"},
    )
    return Parallel(gas, liquid, condensers("ca", "cb"))


def test_seven_kilopascals_of_r134a_stand_in_a_drop_leg_of_065_m() -> None:
    """7000 / (1102.3 x 9.80665) = 0.6475 m, saturated liquid at 50 C (CoolProp, read); 0.65 in the engineering basis.

    Mirror images, halves stated, 7 kPa in one condenser at the half that it takes; the flow itself waits for that drop.
    """
    hot = replace(FULL, condensing_C=50.0, subcooling_K=0.0)
    pair = equal_pair().changed("ca", share=0.5).changed("cb", share=0.5)
    flow = pair.reference(hot).flow_kg_s
    for _ in range(3):
        pair = pair.changed("cb", drop_Pa=7e3, at_kg_s=0.5 * flow)
        flow = pair.reference(hot).flow_kg_s
    found, _ = agreed(pair, hot)
    a, b = lines(found)[1].branches
    assert a.column_short_m[0] == pytest.approx(0.65, abs=0.005)
    assert b.column_short_m[0] == 0.0


def test_equal_branches_are_one_line_at_half_the_load() -> None:
    """Mirror images from the source on; the chain is one of them, with half the cooling."""
    found, _ = agreed(equal_pair(), FULL, PART)
    halves = [replace(one, capacity_W=0.5 * one.capacity_W) for one in (FULL, PART)]
    alone = solve(
        Parallel(
            chain([ORIGIN, (0.0, 5.0, 0.0), (0.0, 5.0, 6.0)], size="1-1/8"),
            chain([(1.0, 5.0, 6.0), (1.0, 5.0, 0.0), (1.0, 0.0, 0.0)], Service.LIQUID, size="5/8"),
            condensers("ca"),
        ).job(*halves)
    ).circuits[0]
    np.testing.assert_allclose(found.conditions.mass_flow_kg_s, 2.0 * alone.conditions.mass_flow_kg_s, rtol=1e-6)
    np.testing.assert_allclose(found.conditions.discharge_Pa, alone.conditions.discharge_Pa, rtol=1e-6)
    for spread, single in zip(lines(found), lines(alone), strict=True):
        assert single.flow is not None
        for branch in spread.branches:
            np.testing.assert_allclose(branch.share, 0.5, atol=1e-6)
            np.testing.assert_allclose(branch.drop_Pa, single.flow.drop_Pa, rtol=1e-4)
            np.testing.assert_allclose(branch.outlet_Pa, single.flow.outlet_Pa, rtol=1e-6)


def of_one_size(line: Line, size: str) -> Line:
    return replace(line, legs=tuple(replace(leg, size=size) for leg in line.legs))


def test_a_branch_that_carries_nearly_all_is_the_line() -> None:
    """With 0.9999 of the flow, all in one size, the near branch is a chain with a tee's run where the tee is."""
    plain = two().changed("near", share=0.9999).changed("far", share=0.0001)
    pair = replace(plain, gas=of_one_size(plain.gas, "1-3/8"), liquid=of_one_size(plain.liquid, "7/8"))
    found = solve(pair.job(FULL)).circuits[0]
    straight = {"n2": "tee_run"}
    gas = chain([ORIGIN, (0.0, 0.0, 4.0), (6.0, 0.0, 4.0), (9.0, 0.0, 4.0)], size="1-3/8", fittings=straight)
    down: list[Point] = [(9.0, 0.5, 4.0), (9.0, 0.5, 1.0), (6.0, 0.5, 1.0), (0.0, 0.5, 1.0), (0.0, 0.5, 0.2)]
    liquid = chain(down, Service.LIQUID, size="7/8", fittings=straight)
    alone = solve(Parallel(gas, liquid, condensers("near")).job(FULL)).circuits[0]
    np.testing.assert_allclose(found.conditions.discharge_Pa, alone.conditions.discharge_Pa, rtol=1e-5)
    for spread, single in zip(lines(found), lines(alone), strict=True):
        assert single.flow is not None
        # A ten-thousandth of the flow is two of the drop.
        np.testing.assert_allclose(spread.branches[0].drop_Pa, single.flow.drop_Pa, rtol=1e-3)


@pytest.mark.parametrize("refrigerant", ["R134a", "R410A"])
def test_one_condenser_is_a_line_and_a_tree_of_one_branch(refrigerant: str) -> None:
    """The reference knows only branches; the program takes a chain for a line without any."""
    gas = chain([ORIGIN, (0.0, 0.0, 4.0), (9.0, 0.0, 4.0)], size="1-1/8", ends=(LineEnd("n2", "c"),))
    down: list[Point] = [(9.0, 1.0, 4.0), (9.0, 1.0, 1.0), (0.0, 1.0, 1.0)]
    liquid = chain(down, Service.LIQUID, size="3/4", ends=(LineEnd("n0", "c"),))
    one = Parallel(gas, liquid, (Equipment("c", Role.CONDENSER, drop_Pa=9e3, at_kg_s=0.3),), refrigerant)
    expected = one.reference(FULL)
    assert expected.shares == (1.0,)
    for share in (None, 1.0):
        found = solve(one.changed("c", share=share).job(FULL)).circuits[0]
        assert found.conditions.mass_flow_kg_s[0] == pytest.approx(expected.flow_kg_s, rel=FLOW)
        for line, path_of in zip(lines(found), (expected.gas[0], expected.liquid[0]), strict=True):
            assert line.branches == ()
            assert line.flow is not None
            for term in ("drop_Pa", "friction_Pa", "fittings_Pa", "static_Pa"):
                assert getattr(line.flow, term)[0] == pytest.approx(getattr(path_of, term), rel=DROP)
            assert line.flow.outlet_Pa[0] == pytest.approx(path_of.outlet_Pa, rel=0.0, abs=DROP * path_of.friction_Pa)


def test_a_leg_carries_the_shares_that_it_serves() -> None:
    """Liquid hardly changes its density, so what a leg carries is velocity times density times area."""
    found, (split,) = agreed(three(), FULL)
    _, liquid = lines(found)
    legs = liquid.legs
    assert legs is not None
    carried = legs.velocity_m_s[:, 0] * legs.density_kg_m3[:, 0] * 0.25 * np.pi * legs.inner_diameter_m**2
    flow = dict(zip(legs.ids, carried / split.flow_kg_s, strict=True))
    one, two_, three_ = split.shares
    expected = {"c1-f1": one, "f2-t2": two_, "c3-f3": three_, "t2-t1": two_ + three_, "t1-u": 1.0}
    for leg, share in expected.items():
        assert flow[leg] == pytest.approx(share, abs=SHARE)
