"""The march along a run on fluids so simple that the answer is known by hand."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.solver.arrays import FloatArray
from linesizer.solver.march import Known, Loads, Profile, first_guess, march, momentum_drop
from linesizer.solver.pieces import Pieces, cut_legs
from linesizer.solver.static_head import GRAVITY

RANGE = {"least_pressure": 1e4, "most_pressure": 1e7}


def water(pressure: FloatArray) -> FloatArray:
    return np.full(np.shape(pressure), 1000.0)


def ideal_gas(pressure: FloatArray) -> FloatArray:
    """Density in proportion to pressure: 1 MPa weighs 40 kg/m3."""
    return np.asarray(pressure) * 4e-5


def loads(tube: list[float], rise: list[float] | None = None, **changes: list[float]) -> Loads:
    """Return the loads of legs, one case: zero wherever nothing is given."""
    legs = len(tube)
    values = {
        "tube": tube,
        "fittings": [0.0] * legs,
        "parts": [0.0] * legs,
        "fittings_stated_Pa": [0.0] * legs,
        "parts_stated_Pa": [0.0] * legs,
        "rise_m": rise or [0.0] * legs,
        "mass_flux": [0.0] * legs,
    } | changes
    values.setdefault("flux_before", [values["mass_flux"][0], *values["mass_flux"][:-1]])
    return Loads(**{name: np.array(value, dtype=np.float64)[:, None] for name, value in values.items()})


def marched(density_at, of: Loads, known_Pa: float, known: Known) -> Profile:  # type: ignore[no-untyped-def]
    at = np.array([known_Pa])
    return march(density_at, of, at, known, guess=first_guess(density_at(at), of, at, known), **RANGE)


def test_an_incompressible_fluid_by_hand() -> None:
    """Friction 3 MPa kg/m3 / 1000 = 3 kPa; 5 m of water 49.033 kPa; a part of 2 kPa; fall of 1 m on the second leg."""
    of = loads([3e6, 1e6], [5.0, -1.0], parts_stated_Pa=[2e3, 0.0], fittings=[0.0, 5e5])
    expected = [3e3 + 5.0 * 9806.65 + 2e3, 1e3 + 500.0 - 9806.65]
    forward = marched(water, of, 1e6, Known.START)
    np.testing.assert_allclose(-np.diff(forward.pressure_Pa[:, 0]), expected, rtol=1e-10)
    assert forward.pressure_Pa[0, 0] == 1e6
    backward = marched(water, of, 1e6, Known.END)
    np.testing.assert_allclose(-np.diff(backward.pressure_Pa[:, 0]), expected, rtol=1e-6)
    assert backward.pressure_Pa[-1, 0] == 1e6
    assert forward.settled.all()
    assert backward.settled.all()


def test_terms_by_hand_and_their_sum() -> None:
    of = loads([3e6, 1e6], [5.0, -1.0], parts=[4e5, 0.0], fittings_stated_Pa=[0.0, 70.0], mass_flux=[500.0, 800.0])
    profile = marched(water, of, 1e6, Known.START)
    terms = of.terms(profile.density_kg_m3)
    np.testing.assert_allclose(terms.friction_Pa[:, 0], [3e3, 1e3])
    np.testing.assert_allclose(terms.parts_Pa[:, 0], [400.0, 0.0])
    np.testing.assert_allclose(terms.fittings_Pa[:, 0], [0.0, 70.0])
    np.testing.assert_allclose(terms.static_Pa[:, 0], [49033.25, -9806.65])
    # The change of velocity head where the bore narrows: (800^2 - 500^2) / 2000.
    np.testing.assert_allclose(terms.acceleration_Pa[:, 0], [0.0, 195.0])
    total = sum(getattr(terms, name) for name in type(terms).__slots__)
    np.testing.assert_allclose(total, -np.diff(profile.pressure_Pa, axis=0), rtol=1e-9)


def test_an_ideal_gas_loses_pressure_squared() -> None:
    """p dp = -R / 4e-5 along the tube, so p1^2 - p2^2 = 2 R / 4e-5 for any drop, in one leg as in ten."""
    resistance = 2.4e6
    for legs in (1, 10):
        of = loads([resistance / legs] * legs)
        start = marched(ideal_gas, of, 1e6, Known.START)
        np.testing.assert_allclose(start.pressure_Pa[-1, 0], np.sqrt(1e12 - 2.0 * resistance / 4e-5), rtol=1e-8)
        end = marched(ideal_gas, of, 1e6, Known.END)
        np.testing.assert_allclose(end.pressure_Pa[0, 0], np.sqrt(1e12 + 2.0 * resistance / 4e-5), rtol=1e-8)


def test_a_column_of_ideal_gas() -> None:
    """The barometric formula p = p0 exp(-4e-5 g z), reached with the square of the number of pieces."""
    height = 400.0
    exact = 1e6 * np.exp(-4e-5 * GRAVITY * height)
    errors = []
    for legs in (1, 2):
        profile = marched(ideal_gas, loads([0.0] * legs, [height / legs] * legs), 1e6, Known.START)
        errors.append(abs(profile.pressure_Pa[-1, 0] - exact))
    assert errors[0] < 1e-2 * (1e6 - exact)
    assert errors[1] == pytest.approx(errors[0] / 4.0, rel=0.05)


def test_momentum_of_an_ideal_gas() -> None:
    """With momentum p1^2 - p2^2 = (2 / 4e-5) (R + G^2 ln(p1 / p2)) along the whole tube."""
    flux, resistance, legs = 900.0, 1.2e6, 60
    of = loads([resistance / legs] * legs, mass_flux=[flux] * legs)
    profile = marched(ideal_gas, of, 1e6, Known.START)
    first, last = profile.pressure_Pa[0, 0], profile.pressure_Pa[-1, 0]
    assert last < 0.98e6
    right = 2.0 / 4e-5 * (resistance + flux**2 * np.log(first / last))
    assert first**2 - last**2 == pytest.approx(right, rel=1e-5)
    terms = of.terms(profile.density_kg_m3)
    assert terms.acceleration_Pa.sum() == pytest.approx(flux**2 * (1.0 / ideal_gas(last) - 1.0 / ideal_gas(first)))


def test_momentum_at_a_change_of_size() -> None:
    """A fall of pressure where the flow narrows, a rise where it widens, each the difference of the velocity heads."""
    density = np.full((2, 1), 50.0)
    narrows = momentum_drop(density, np.array([[200.0]]), np.array([[100.0]]))
    widens = momentum_drop(density, np.array([[100.0]]), np.array([[200.0]]))
    assert narrows[0, 0] == pytest.approx((200.0**2 - 100.0**2) / (2.0 * 50.0))
    assert widens[0, 0] == -narrows[0, 0]


def test_what_leaves_the_range_has_not_settled() -> None:
    of = loads([1e6])
    mixed = Loads(**{name: np.broadcast_to(getattr(of, name), (1, 2)) for name in Loads.__slots__})
    mixed = Loads(**({name: getattr(mixed, name) for name in Loads.__slots__} | {"tube": np.array([[1e6, 5e9]])}))
    at = np.array([1e6, 1e6])
    profile = march(water, mixed, at, Known.START, guess=first_guess(water(at), mixed, at, Known.START), **RANGE)
    assert profile.settled.tolist() == [True, False]
    assert np.isfinite(profile.pressure_Pa).all()
    assert profile.pressure_Pa[-1, 0] == pytest.approx(1e6 - 1e3, rel=1e-10)


def cut(legs: int, count: int) -> Pieces:
    """Return each leg cut into as many pieces."""
    leg = np.repeat(np.arange(legs), count)
    first = np.arange(legs * count) % count == 0
    return Pieces(leg, np.full(legs * count, 1.0 / count), first, np.arange(legs) * count)


def test_pieces_change_nothing_for_an_incompressible_fluid() -> None:
    of = loads([3e6, 1e6], [5.0, -1.0], parts=[4e5, 0.0], fittings_stated_Pa=[0.0, 70.0], mass_flux=[500.0, 800.0])
    whole = marched(water, of, 1e6, Known.START)
    pieces = cut(2, 7)
    fine = marched(water, pieces.loads(of), 1e6, Known.START)
    np.testing.assert_allclose(pieces.nodes(fine).pressure_Pa, whole.pressure_Pa, rtol=1e-12)
    gathered, terms = pieces.gather(pieces.loads(of).terms(fine.density_kg_m3)), of.terms(whole.density_kg_m3)
    for name in type(terms).__slots__:
        np.testing.assert_allclose(getattr(gathered, name), getattr(terms, name), rtol=1e-11, atol=1e-9)


def test_legs_are_cut_where_density_changes_and_only_there() -> None:
    density = np.array([[40.0, 40.0], [39.9, 39.95], [38.0, 39.0], [38.0, 39.0]])
    profile = Profile(density / 4e-5, density, np.array([True, True]))
    pieces = cut_legs(profile, 0.01, 64)
    assert pieces is not None
    assert np.bincount(pieces.leg).tolist() == [1, 5, 1]
    assert pieces.starts.tolist() == [0, 1, 6]
    assert pieces.first.tolist() == [True, True, False, False, False, False, True]
    np.testing.assert_allclose(pieces.share, [1.0, 0.2, 0.2, 0.2, 0.2, 0.2, 1.0])
    along = pieces.guess(profile.pressure_Pa)[:, 0]
    np.testing.assert_allclose(along[1:7], np.linspace(profile.pressure_Pa[1, 0], profile.pressure_Pa[2, 0], 6))


def test_nothing_is_cut_where_density_hardly_changes_or_the_flow_does_not_pass() -> None:
    still = np.full((3, 1), 40.0)
    assert cut_legs(Profile(still / 4e-5, still, np.array([True])), 0.01, 64) is None
    fallen = np.array([[40.0], [20.0]])
    assert cut_legs(Profile(fallen / 4e-5, fallen, np.array([False])), 0.01, 64) is None
    pieces = cut_legs(Profile(fallen / 4e-5, fallen, np.array([True])), 0.01, 64)
    assert pieces is not None
    assert len(pieces.leg) == 64
