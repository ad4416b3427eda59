"""A line leg by leg on an incompressible fluid, where every figure is known by hand, and on real gas."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.friction import friction_factor

from linesizer.properties.library import load
from linesizer.solver.arrays import FloatArray
from linesizer.solver.line import LineState, Run, oil_return_ratio, solve_line
from linesizer.solver.losses import Losses
from linesizer.solver.march import Known
from linesizer.solver.oil_return import minimum_mass_flux
from linesizer.solver.phase import Phase, vapour

DENSITY, VISCOSITY, ROUGHNESS, FLOW = 1100.0, 2e-4, 1.5e-6, 0.6


def constant(value: float) -> Phase:
    """Return a fluid of one density everywhere."""

    def everywhere(fixed: float):  # type: ignore[no-untyped-def]
        return lambda pressure, enthalpy: np.full(np.broadcast_shapes(np.shape(pressure), np.shape(enthalpy)), fixed)

    return Phase(
        "liquid",
        everywhere(value),
        everywhere(VISCOSITY),
        everywhere(300.0),
        lambda pressure: np.full(np.shape(pressure), 320.0),
        1e4,
        1e8,
    )


def solved(run: Run, bores: list[float], flow: float = FLOW, known: Known = Known.START) -> LineState:
    return solve_line(
        run,
        constant(DENSITY),
        bore=np.array(bores)[:, None],
        roughness=np.full((len(bores), 1), ROUGHNESS),
        mass_flow=np.array([flow]),
        enthalpy=np.array([2.5e5]),
        known_pressure=np.array([1.5e6]),
        known=known,
    )


def bare(lengths: list[float], rises: list[float]) -> Run:
    legs = len(lengths)
    return Run(np.array(lengths), np.array(rises), Losses.none(legs), Losses.none(legs))


def head(bore: float) -> float:
    """Velocity head, [Pa]."""
    velocity = FLOW / DENSITY / (0.25 * np.pi * bore**2)
    return 0.5 * DENSITY * velocity**2


def factor(bore: float) -> float:
    reynolds = 4.0 * FLOW / (np.pi * bore * VISCOSITY)
    return float(friction_factor(reynolds, ROUGHNESS / bore))


def test_two_bores_with_fittings_and_parts_by_hand() -> None:
    wide, narrow = 0.026, 0.020
    fittings, parts = Losses.none(2), Losses.none(2)
    fittings.k_fixed[:] = [0.0, 0.4]
    fittings.bores[1] = 6.0
    parts.k_fixed[0] = 2.0
    parts.length_m[1] = 3.0
    parts.drop_Pa[1] = 5e3
    state = solved(Run(np.array([10.0, 4.0]), np.array([6.0, -1.0]), fittings, parts), [wide, narrow])
    terms = state.terms
    np.testing.assert_allclose(
        terms.friction_Pa[:, 0],
        [factor(wide) * 10.0 / wide * head(wide), factor(narrow) * 4.0 / narrow * head(narrow)],
        rtol=1e-10,
    )
    contraction = 0.5 * (1.0 - (narrow / wide) ** 2)
    np.testing.assert_allclose(
        terms.fittings_Pa[:, 0], [0.0, (contraction + 0.4 + 6.0 * factor(narrow)) * head(narrow)], rtol=1e-10
    )
    np.testing.assert_allclose(
        terms.parts_Pa[:, 0], [2.0 * head(wide), 3.0 / narrow * factor(narrow) * head(narrow) + 5e3], rtol=1e-10
    )
    np.testing.assert_allclose(terms.static_Pa[:, 0], [DENSITY * 9.80665 * 6.0, -DENSITY * 9.80665], rtol=1e-12)
    np.testing.assert_allclose(terms.acceleration_Pa[:, 0], [0.0, head(narrow) - head(wide)], atol=1e-9)
    total = sum(getattr(terms, name) for name in type(terms).__slots__)
    np.testing.assert_allclose(total, state.drop_Pa, rtol=1e-9)
    np.testing.assert_allclose(state.velocity_m_s[0, 0], FLOW / DENSITY / (0.25 * np.pi * wide**2), rtol=1e-12)


def test_an_expansion_loses_on_the_smaller_bores_head() -> None:
    narrow, wide = 0.020, 0.026
    state = solved(bare([1.0, 1.0], [0.0, 0.0]), [narrow, wide])
    borda = (1.0 - (narrow / wide) ** 2) ** 2
    assert state.terms.fittings_Pa[1, 0] == pytest.approx(borda * head(narrow), rel=1e-12)
    assert state.terms.acceleration_Pa[1, 0] == pytest.approx(head(wide) - head(narrow), rel=1e-9)
    # Borda and Carnot: all that is not lost comes back as pressure, (V1 - V2)^2 rho / 2 is lost.
    speeds = [FLOW / DENSITY / (0.25 * np.pi * bore**2) for bore in (narrow, wide)]
    assert borda * head(narrow) == pytest.approx(0.5 * DENSITY * (speeds[0] - speeds[1]) ** 2, rel=1e-12)


def test_from_the_end_as_from_the_start() -> None:
    run = bare([10.0, 4.0], [6.0, -1.0])
    ahead, back = solved(run, [0.026, 0.020]), solved(run, [0.026, 0.020], known=Known.END)
    assert ahead.pressure_Pa[0, 0] == back.pressure_Pa[-1, 0] == 1.5e6
    np.testing.assert_allclose(back.drop_Pa, ahead.drop_Pa, rtol=1e-6)


def test_a_column_that_asks_for_more_than_there_is_has_not_settled() -> None:
    assert not solved(bare([200.0], [200.0]), [0.026]).settled.any()


def test_the_worst_end_of_a_riser_decides_oil_return() -> None:
    """Gas is densest where its pressure is highest: which is the foot of a riser."""
    table = load("R134a")
    gas = vapour(table)
    enthalpy = float(table.vapour_pt(1.2e6, 345.0).enthalpy_J_kg)
    run = bare([5.0, 30.0], [0.0, 30.0])
    bore = np.full((2, 1), 0.026)
    state = solve_line(
        run,
        gas,
        bore=bore,
        roughness=np.full((2, 1), ROUGHNESS),
        mass_flow=np.array([0.2]),
        enthalpy=np.array([enthalpy]),
        known_pressure=np.array([1.2e6]),
        known=Known.START,
    )
    ratio = oil_return_ratio(state, np.array([False, True]), bore, np.array(950.0))
    ends = [float(table.vapour_density_ph(state.pressure_Pa[node, 0], enthalpy)) for node in (1, 2)]
    flux = 0.2 / (0.25 * np.pi * 0.026**2)
    expected = min(flux / float(minimum_mass_flux(density, 950.0, 0.026)) for density in ends)
    assert ends[0] > 1.02 * ends[1]
    assert ratio.shape == (1, 1)
    assert ratio[0, 0] == pytest.approx(expected, rel=1e-5)


def test_enthalpy_from_a_compressor_is_taken_at_the_pressure_that_settles() -> None:
    """Enthalpy that rises with the pressure at the start gives the line of the enthalpy at that very pressure."""
    table = load("R410A")
    gas, at = vapour(table), np.array([2.8e6])
    base = float(table.vapour_pt(2.8e6, 350.0).enthalpy_J_kg)
    run = bare([40.0], [10.0])

    def compressor(pressure: FloatArray) -> FloatArray:
        return np.asarray(base + 0.01 * (pressure - 2.8e6))

    def line(enthalpy) -> LineState:  # type: ignore[no-untyped-def]
        return solve_line(
            run,
            gas,
            bore=np.array([[0.020]]),
            roughness=np.array([[ROUGHNESS]]),
            mass_flow=np.array([0.35]),
            enthalpy=enthalpy,
            known_pressure=at,
            known=Known.END,
        )

    coupled = line(compressor)
    fixed = line(compressor(coupled.pressure_Pa[0]))
    assert coupled.drop_Pa[0, 0] > 1e5
    np.testing.assert_allclose(coupled.drop_Pa, fixed.drop_Pa, rtol=1e-5)


def test_a_leg_is_cut_as_finely_as_its_change_of_density_asks() -> None:
    """One leg that is cut gives what many short legs give; left whole it is off by more."""
    table = load("R410A")
    enthalpy = table.vapour_pt(np.array([2.8e6]), np.array([350.0])).enthalpy_J_kg

    def drop(legs: int, *, cut: bool) -> float:
        state = solve_line(
            bare([60.0 / legs] * legs, [40.0 / legs] * legs),
            vapour(table),
            bore=np.array([[0.017]]),
            roughness=np.array([[ROUGHNESS]]),
            mass_flow=np.array([0.35]),
            enthalpy=enthalpy,
            known_pressure=np.array([2.8e6]),
            known=Known.END,
            cut=cut,
        )
        assert state.settled.all()
        return float(state.drop_Pa.sum())

    exact = drop(200, cut=False)
    assert exact > 0.5e6
    # Pieces whose density changes by d leave d^2 / 12; d is 1 %, against some 30 % in the whole leg.
    assert drop(1, cut=True) == pytest.approx(exact, rel=0.01**2 / 12.0)
    assert abs(drop(1, cut=False) / exact - 1.0) > 10.0 * 0.01**2 / 12.0
