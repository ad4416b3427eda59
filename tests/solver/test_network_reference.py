"""The reference for parallel condensers held against arithmetic that needs no program.

Every leg here has a bore of 1 / sqrt(25 pi) m, so an area of 0.01 m2 (gas, 0.4 kg/s: 40 kg/m2 s), unless it says
otherwise; gas weighs 50 and liquid 1000 kg/m3.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import exp, log, pi, sqrt

import pytest
from CoolProp.CoolProp import PropsSI

from tests.solver.network_reference import (
    ELBOW_90,
    TEE_BRANCH,
    TEE_RUN,
    Branch,
    Loss,
    NoBalanceError,
    Reach,
    Running,
    Split,
    State,
    Unchanging,
    along,
    at_shares,
    balanced,
)
from tests.solver.peer_cases import PEER_CASES, branches
from tests.solver.reference_path import GRAVITY, Fluid, Tube, cycle

BORE = 1.0 / sqrt(25.0 * pi)
GAS, LIQUID = State(50.0, 1e-5), State(1000.0, 2e-4)
STILL = Unchanging(4.0, GAS, LIQUID)


def reach(ident: str, length_m: float = 0.0, rise_m: float = 0.0, k: float = 0.0, bore_m: float = BORE) -> Reach:
    return Reach(ident, length_m, rise_m, bore_m, 1.5e-6, (Loss(k=k),) if k else ())


def branch(name: str, *, gas: Sequence[Reach] = (), liquid: Sequence[Reach] = (), **changes: float) -> Branch:
    return Branch(name, tuple(gas), tuple(liquid), **changes)


def by_gas_k(*k: float) -> list[Branch]:
    """Branches whose only difference is the loss coefficient of their gas leg."""
    return [branch(f"c{i}", gas=[reach(f"g{i}", k=of)], liquid=[reach(f"l{i}")]) for i, of in enumerate(k)]


def test_two_equal_branches_by_hand() -> None:
    """Half of 4 kg/s through 0.01 m2: G = 200 kg/(m2 s).

    Gas head 200^2 / (2 x 50) = 400 Pa, K 5 makes 2000 Pa, a climb of 3 m 50 x 9.80665 x 3 = 1470.9975 Pa.
    Liquid head 200^2 / 2000 = 20 Pa, K 8 makes 160 Pa, a fall of 2 m gives 19613.3 Pa back.
    """
    pair = [
        branch(name, gas=[reach(f"g{name}", rise_m=3.0, k=5.0)], liquid=[reach(f"l{name}", rise_m=-2.0, k=8.0)])
        for name in "ab"
    ]
    found = balanced(pair, STILL)
    assert found.shares == (0.5, 0.5)
    for gas, liquid in zip(found.gas, found.liquid, strict=True):
        assert gas.fittings_Pa == pytest.approx(2000.0)
        assert gas.static_Pa == pytest.approx(1470.9975)
        assert gas.outlet_Pa == pytest.approx(1e6, abs=0.02)
        assert liquid.drop_Pa == pytest.approx(160.0 - 19613.3, rel=1e-9)
        assert liquid.dynamic_Pa == pytest.approx(160.0, rel=1e-6)
    assert found.discharge_Pa == pytest.approx(1e6 + 3470.9975, abs=0.02)
    assert found.sink_Pa == pytest.approx(1e6 - 160.0 + 19613.3, abs=0.02)
    assert found.column_short_m == pytest.approx((0.0, 0.0), abs=1e-6)


def test_turbulent_losses_split_by_the_root_of_their_coefficients() -> None:
    """K x^2 alike: with 4 and 9 the shares are 3 / 5 and 2 / 5; with 1, 4 and 16 they are 4, 2 and 1 sevenths."""
    assert balanced(by_gas_k(4.0, 9.0), STILL).shares == pytest.approx((0.6, 0.4), abs=1e-7)
    assert balanced(by_gas_k(1.0, 4.0, 16.0), STILL).shares == pytest.approx((4 / 7, 2 / 7, 1 / 7), abs=1e-7)


def test_laminar_liquid_splits_by_length() -> None:
    """f = 64 / Re makes the drop 32 mu G L / (rho D^2): 3 m and 7 m of one bore take 0.7 and 0.3."""
    thick = replace(STILL, flow=0.05, liquid_state=State(1000.0, 2e-3))
    pair = [branch(f"c{i}", gas=[reach(f"g{i}")], liquid=[reach(f"l{i}", length_m=of)]) for i, of in enumerate((3, 7))]
    found = balanced(pair, thick)
    assert 3.5 * BORE / 2e-3 < 2000.0
    assert found.shares == pytest.approx((0.7, 0.3), abs=1e-7)
    assert found.liquid[0].friction_Pa == pytest.approx(32.0 * 2e-3 * 3.5 * 3.0 / (1000.0 * BORE**2), rel=1e-6)


def test_turbulent_friction_by_colebrook() -> None:
    """1 / sqrt(f) = -2 log10(e / 3.7 D + 2.51 / (Re sqrt f)), iterated here."""
    (path,) = balanced([branch("c", gas=[reach("g", length_m=10.0)], liquid=[reach("l")])], STILL).gas
    reynolds, factor = 400.0 * BORE / 1e-5, 0.02
    for _ in range(50):
        factor = (-2.0 * log(1.5e-6 / BORE / 3.7 + 2.51 / reynolds / sqrt(factor)) / log(10.0)) ** -2
    assert path.friction_Pa == pytest.approx(factor * 10.0 / BORE * 400.0**2 / 100.0, rel=1e-8)


def test_a_branch_that_climbs_counts_its_column() -> None:
    """10 kg/s, K 100 in both, the second climbs 1 m.

    G1^2 - G2^2 = 2 rho^2 g / 100 = 196133 and G1 + G2 = 1000, so G1 - G2 = 196.133 and x1 = 0.5980665.
    """

    def pair(first_m: float, second_m: float) -> list[Branch]:
        return [
            branch(f"c{i}", gas=[reach(f"g{i}")], liquid=[reach(f"l{i}", rise_m=rise, k=100.0)])
            for i, rise in enumerate((first_m, second_m))
        ]

    climbs = balanced(pair(0.0, 1.0), replace(STILL, flow=10.0))
    assert climbs.shares[0] == pytest.approx(0.5980665, abs=1e-7)
    assert climbs.column_short_m == pytest.approx((0.0, 0.0), abs=1e-6)
    # At 4 kg/s G1 + G2 = 400 leaves nothing for the second: G1 - G2 would be 490.3.
    with pytest.raises(NoBalanceError):
        balanced(pair(0.0, 1.0), STILL)
    with pytest.raises(NoBalanceError):
        balanced(pair(1.0, 0.0), STILL)
    with pytest.raises(NoBalanceError):
        balanced([*pair(0.0, 1.0), branch("c2", gas=[reach("g2")], liquid=[reach("l2", k=100.0)])], STILL)
    # Falls balance by their columns instead: the branch that falls 3 m stands 1 m short of the other's 2 m.
    falls = balanced(pair(-3.0, -2.0), replace(STILL, flow=10.0))
    assert falls.shares[0] == pytest.approx(0.5, abs=1e-9)
    assert falls.column_short_m == pytest.approx((1.0, 0.0), abs=1e-6)


def test_what_all_share_does_not_split_them() -> None:
    """Trunks of the gas and of the liquid, climbing too, cost everyone the same.

    What remains is the change of flux where they meet the branches, one velocity head more on the gas side and one of
    the liquid's (a twentieth of it, by density) less: (4 + 1 - 0.05) x1^2 = (9 + 1 - 0.05) x2^2, so x1 = 0.5863975.
    """
    trunk, header = reach("trunk", 5.0, 4.0, 3.0), reach("header", 5.0, 6.0, 2.0)
    plain = by_gas_k(4.0, 9.0)
    shared = [replace(b, gas=(trunk, *b.gas), liquid=(*b.liquid, header)) for b in plain]
    found = balanced(shared, STILL)
    assert found.shares[0] == pytest.approx(0.5863975, abs=1e-7)
    assert found.gas[0].static_Pa == pytest.approx(50.0 * GRAVITY * 4.0)
    assert found.liquid[0].own_static_Pa == 0.0


def test_legs_carry_what_they_serve() -> None:
    """K 1 for the first; the others behind a leg of K 2 with K 1 each: x1^2 = 2 (2 x)^2 + x^2 = 9 x^2, so 0.6, 0.2.

    The bores make the flux of all legs at these shares 200 kg/(m2 s), so that no change of flux plays in.
    """

    def bore(share: float) -> float:
        return BORE * sqrt(4.0 * share / 2.0)

    # A coefficient on an equal head instead of an equal area: K (share / area)^2 is K' share^2 with K' = K / area^2.
    first = reach("first", k=9.0, bore_m=bore(0.6))
    middle = reach("middle", k=8.0, bore_m=bore(0.4))
    ends = [reach(f"end{i}", k=1.0, bore_m=bore(0.2)) for i in range(2)]
    liquids = [reach(f"l{i}") for i in range(3)]
    tree = [
        branch("a", gas=[first], liquid=liquids[:1]),
        *(branch("bc"[i], gas=[middle, ends[i]], liquid=[liquids[i + 1]]) for i in range(2)),
    ]
    found = balanced(tree, STILL)
    assert found.shares == pytest.approx((0.6, 0.2, 0.2), abs=1e-7)
    assert found.gas[1].fittings_Pa == pytest.approx(9.0 * 400.0, rel=1e-6)


def test_a_tee_counts_on_the_head_of_the_leg_that_it_names() -> None:
    """K 2 on the trunk's 400 kg/(m2 s): 2 x 400^2 / 100 = 3200 Pa, whatever the branch's own share."""
    trunk = reach("trunk")
    legs = [replace(reach("a"), losses=(Loss(k=2.0, on="trunk"),)), reach("b")]
    pair = [branch(leg.id, gas=[trunk, leg], liquid=[reach(f"l{leg.id}")]) for leg in legs]
    for share in (0.3, 0.8):
        first, second = at_shares(pair, STILL, (share, 1.0 - share)).gas
        assert first.fittings_Pa == pytest.approx(3200.0)
        assert second.fittings_Pa == 0.0
        # The flux falls at the start of each branch: (G^2 - 400^2) / 100.
        assert first.acceleration_Pa == pytest.approx(((400.0 * share) ** 2 - 400.0**2) / 100.0)


@pytest.mark.parametrize(
    ("row", "k1", "ki", "kd"),
    [(ELBOW_90, 800.0, 0.071, 4.2), (TEE_BRANCH, 800.0, 0.14, 4.0), (TEE_RUN, 150.0, 0.05, 4.0)],
)
def test_darby_by_hand(row: str, k1: float, ki: float, kd: float) -> None:
    """K = K1 / Re + Ki (1 + Kd / D^0.3), D in inches; Darby's constants, from memory and as fluids prints them."""
    leg = replace(reach("g"), losses=(Loss(row), Loss(row)))
    (path,) = balanced([branch("c", gas=[leg], liquid=[reach("l")])], STILL).gas
    k = k1 / (400.0 * BORE / 1e-5) + ki * (1.0 + kd / (BORE / 0.0254) ** 0.3)
    assert path.fittings_Pa == pytest.approx(2.0 * k * 1600.0, rel=1e-9)


def test_a_condenser_drop_goes_with_its_flow_squared() -> None:
    """9 kPa at 1 kg/s: at 0.5 x 4 kg/s 36 kPa; as the only loss of both it splits like K."""
    legs = by_gas_k(0.0, 0.0)
    both = [replace(legs[0], drop_Pa=4e3, at_kg_s=1.0), replace(legs[1], drop_Pa=9e3, at_kg_s=1.0)]
    assert balanced(both, STILL).shares == pytest.approx((0.6, 0.4), abs=1e-7)
    held = at_shares([legs[0], both[1]], STILL, (0.5, 0.5))
    assert held.condensers_Pa == pytest.approx((0.0, 36e3))
    # Stated equal shares leave 36 kPa to the columns: 36000 / 9806.65 m of this liquid.
    assert held.column_short_m == pytest.approx((36e3 / 9806.65, 0.0), abs=1e-5)


def test_stated_shares_are_kept_and_the_others_share_the_rest() -> None:
    stated = [replace(b, share=x) for b, x in zip(by_gas_k(4.0, 4.0), (0.3, 0.7), strict=True)]
    assert balanced(stated, STILL).shares == (0.3, 0.7)
    first, *others = by_gas_k(2.0, 1.0, 4.0)
    mixed = balanced([replace(first, share=0.4), *others], STILL)
    assert mixed.shares == pytest.approx((0.4, 0.4, 0.2), abs=1e-7)


def test_the_share_of_a_branch_that_hardly_passes_goes_to_nothing() -> None:
    """K 1 beside K 1e6: one part in a thousand and one; all else is the other line's, as if it were alone."""
    found = balanced(by_gas_k(1.0, 1e6), STILL)
    assert found.shares[1] == pytest.approx(1.0 / 1001.0, rel=1e-5)
    (alone,) = balanced(by_gas_k(1.0), STILL).gas
    assert found.gas[0].drop_Pa == pytest.approx(alone.drop_Pa, rel=3e-3)


def ideal(pressure_Pa: float) -> State:
    """A gas whose density is in proportion to its pressure: 1 MPa weighs 40 kg/m3."""
    return State(4e-5 * pressure_Pa, 1e-5, 4e-5)


def test_an_ideal_gas_with_its_momentum_and_its_column() -> None:
    """p1^2 - p2^2 = (2 / 4e-5) (K G^2 / 2 + G^2 ln(p1 / p2)); at rest p = p0 exp(-4e-5 g z)."""
    leg = reach("g", k=100.0)
    path = along(ideal, [leg], {"g": 5.0}, {"g": leg}, set(), 1e6)
    flux = 500.0
    right = 2.0 / 4e-5 * (50.0 * flux**2 + flux**2 * log(path.inlet_Pa / path.outlet_Pa))
    assert path.outlet_Pa < 0.8e6
    assert path.inlet_Pa**2 - path.outlet_Pa**2 == pytest.approx(right, rel=1e-7)
    assert path.acceleration_Pa == pytest.approx(flux**2 / 4e-5 * (1.0 / path.outlet_Pa - 1.0 / 1e6), rel=1e-7)
    column = replace(leg, rise_m=400.0, losses=())
    still = along(ideal, [column], {"g": 1e-9}, {"g": column}, set(), 1e6)
    assert still.outlet_Pa == pytest.approx(1e6 * exp(-4e-5 * GRAVITY * 400.0), rel=1e-8)


@pytest.mark.parametrize("name", PEER_CASES)
def test_a_published_network_solver_splits_alike(name: str) -> None:
    """pandapipes prints shares to 1e-6 and writes Colebrook's equation with 3.71 where fluids has 3.7.

    That makes 4 log10(3.71 / 3.7) sqrt(f) = 0.0047 sqrt(f) of the factor in wholly rough tube, at f below 0.03 less
    than 0.08 %; of a share x, if one branch alone felt it, x (1 - x) / 2 as much, 1e-4 at most.
    """
    case = PEER_CASES[name]
    found = balanced(branches(case), Unchanging(case.flow_kg_s, case.state, case.state))
    assert found.shares == pytest.approx(case.shares, abs=1e-4)
    assert found.liquid[0].drop_Pa == pytest.approx(case.drop_Pa, rel=8e-4)


# From here on with a refrigerant.
DISCHARGE = Tube(18.0, 9.0, 0.0321, 1.5e-6)
DOWN = Tube(18.0, -9.0, 0.0201, 1.5e-6)


def running(name: str, **changes: float) -> Running:
    stated = {"capacity_W": 60e3, "condensing_K": 318.15, "subcooling_K": 6.0} | changes
    return Running(Fluid(name), evaporating_K=268.15, superheat_K=8.0, efficiency=0.68, **stated)


def straight(ident: str, tube: Tube) -> Reach:
    return Reach(ident, tube.length_m, tube.rise_m, tube.bore_m, tube.roughness_m)


def twins(count: int) -> list[Branch]:
    return [branch(f"c{i}", gas=[straight(f"g{i}", DISCHARGE)], liquid=[straight(f"l{i}", DOWN)]) for i in range(count)]


@pytest.mark.parametrize("name", ["R134a", "R410A"])
@pytest.mark.parametrize("count", [1, 2])
def test_equal_branches_are_single_lines_at_their_part_of_the_load(name: str, count: int) -> None:
    """Against the path of ``reference_path.cycle``, which knows one tube and marches back from its end."""
    alone = cycle(
        Fluid(name),
        capacity_W=60e3 / count,
        evaporating_K=268.15,
        condensing_K=318.15,
        superheat_K=8.0,
        subcooling_K=6.0,
        efficiency=0.68,
        discharge=DISCHARGE,
        liquid=DOWN,
    )
    supply = running(name)
    found = balanced(twins(count), supply)
    assert found.shares == pytest.approx((1.0 / count,) * count, abs=1e-9)
    assert found.flow_kg_s == pytest.approx(count * alone.mass_flow_kg_s, rel=1e-9)
    assert supply.discharge_K(found.discharge_Pa) == pytest.approx(alone.discharge_K, abs=1e-4)
    for path, other in ((found.gas[0], alone.discharge), (found.liquid[0], alone.liquid)):
        for term in ("inlet_Pa", "outlet_Pa", "friction_Pa", "static_Pa", "acceleration_Pa"):
            assert getattr(path, term) == pytest.approx(getattr(other, term), rel=1e-6, abs=0.05)


def test_the_lowest_inlet_is_at_the_condensing_pressure_and_the_lowest_outlet_sets_the_liquid() -> None:
    """By PropsSI: 20 kPa lost in one condenser, its liquid subcooled 6 K below the bubble point there."""
    pair = twins(2)
    pair[1] = replace(pair[1], gas=(replace(pair[1].gas[0], length_m=30.0),), drop_Pa=20e3, at_kg_s=0.2)
    found = balanced(pair, running("R134a"))
    inlets = [path.outlet_Pa for path in found.gas]
    assert min(inlets) == pytest.approx(PropsSI("P", "T", 318.15, "Q", 1, "R134a"), abs=0.1)
    lowest = min(inlet - drop for inlet, drop in zip(inlets, found.condensers_Pa, strict=True))
    assert lowest == pytest.approx(min(path.inlet_Pa for path in found.liquid))
    liquid_K = PropsSI("T", "P", lowest, "Q", 0, "R134a") - 6.0
    evaporating_Pa = PropsSI("P", "T", 268.15, "Q", 1, "R134a")
    gained = PropsSI("H", "P", evaporating_Pa, "T", 276.15, "R134a") - PropsSI("H", "P", lowest, "T", liquid_K, "R134a")
    assert found.flow_kg_s == pytest.approx(60e3 / gained, rel=1e-7)
    assert found.resistance_Pa[0] == pytest.approx(found.resistance_Pa[1], abs=1e-2)


def test_seven_kilopascals_of_r134a() -> None:
    """A difference of 7 kPa needs a drop leg of 0.65 m: 7000 / (1102.3 x 9.80665) = 0.6475 m.

    1102.3 kg/m3 is R134a saturated liquid at 50 C (CoolProp, read); 0.65 m is in the project's engineering basis.
    """
    supply = running("R134a", condensing_K=323.15, subcooling_K=0.0)
    pair = [replace(b, share=0.5) for b in twins(2)]
    flow = balanced(pair, supply).flow_kg_s
    for _ in range(4):
        pair[1] = replace(pair[1], drop_Pa=7e3, at_kg_s=0.5 * flow)
        found = balanced(pair, supply)
        flow = found.flow_kg_s
    assert found.condensers_Pa[1] == pytest.approx(7e3, rel=1e-6)
    assert found.column_short_m[1] == 0.0
    assert found.column_short_m[0] == pytest.approx(0.65, abs=0.005)


def test_unequal_heights_leave_the_difference_to_the_columns() -> None:
    """A condenser 4 m higher behind a gas leg that has nothing but its column: its liquid stands 4 m short of full.

    The gas column (4 m, some 45 kg/m3) is part of what has to be alike, so the higher one takes a little less.
    """
    low, high = twins(2)
    up, down = replace(straight("up", DISCHARGE), length_m=0.0), replace(straight("down", DOWN), length_m=0.0)
    up, down = replace(up, rise_m=4.0), replace(down, rise_m=-4.0)
    found = balanced([low, replace(high, gas=(*high.gas, up), liquid=(down, *high.liquid))], running("R134a"))
    column_Pa = found.gas[1].static_Pa - found.gas[0].static_Pa
    assert column_Pa == pytest.approx(
        4.0 * PropsSI("D", "P", found.gas[1].outlet_Pa, "H", hot(found), "R134a") * 9.8, rel=0.02
    )
    dynamic = [gas.dynamic_Pa + liquid.dynamic_Pa for gas, liquid in zip(found.gas, found.liquid, strict=True)]
    assert dynamic[0] - dynamic[1] == pytest.approx(column_Pa, rel=0.02)
    assert found.shares[0] > 0.5
    assert found.column_short_m == pytest.approx((0.0, 4.0), abs=2e-3)


def hot(found: Split) -> float:
    return running("R134a").compressed_J_kg(found.discharge_Pa)
