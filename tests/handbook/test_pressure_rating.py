"""Rated pressures of type L tube against the Copper Tube Handbook.

Source of the ratings: Copper Development Association, Copper Tube Handbook, rated internal working pressures of type
L tube, annealed, in psi (from memory; the 150 F column agrees with a second table).  They stand on the least wall and
the greatest diameter that ASTM B88 lets through; those tolerances: ASTM B88, tables of dimensions and tolerances (from
memory).
"""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.catalog.allowable_stress import allowable_stress_Pa
from linesizer.catalog.tubes import Temper, tube_catalogue
from linesizer.solver.pressure_rating import allowable_gauge_pressure
from linesizer.units import METRES_PER_INCH, PASCALS_PER_PSI, celsius_of_fahrenheit

TYPE_L = tube_catalogue("ASTM-B88-L")
COLUMNS_F = (100, 150, 200, 300, 400)

# size by outside diameter: (wall tolerance, tolerance of the average diameter, annealed; in), ratings at COLUMNS_F, psi
ROWS = {
    "3/8": ((0.003, 0.002), (912, 775, 745, 714, 456)),
    "1/2": ((0.004, 0.0025), (779, 662, 636, 610, 389)),
    "7/8": ((0.004, 0.003), (582, 495, 475, 456, 291)),
    "1-1/8": ((0.005, 0.0035), (494, 420, 404, 387, 247)),
    "1-3/8": ((0.006, 0.004), (439, 373, 358, 344, 219)),
    "1-5/8": ((0.006, 0.0045), (408, 347, 334, 320, 204)),
    "2-1/8": ((0.007, 0.005), (364, 309, 297, 285, 182)),
    "2-5/8": ((0.008, 0.005), (336, 285, 274, 263, 168)),
    "4-1/8": ((0.011, 0.005), (293, 249, 240, 230, 147)),
}
STRESS_Pa = allowable_stress_Pa(Temper.ANNEALED, [celsius_of_fahrenheit(column) for column in COLUMNS_F])


@pytest.mark.parametrize("size", ROWS)
def test_least_wall_and_greatest_diameter_give_the_handbooks_ratings(size: str) -> None:
    (wall_tolerance, diameter_tolerance), ratings_psi = ROWS[size]
    tube = TYPE_L.find(size)
    rating = allowable_gauge_pressure(
        STRESS_Pa,
        tube.wall_m - wall_tolerance * METRES_PER_INCH,
        tube.outside_diameter_m + diameter_tolerance * METRES_PER_INCH,
        least_wall_fraction=1.0,
    )
    # One unit of the printed psi: half from the printed rating, half from the printed stress and wall.
    np.testing.assert_allclose(rating / PASCALS_PER_PSI, ratings_psi, rtol=0.0, atol=1.0)


@pytest.mark.parametrize("size", ROWS)
def test_nine_tenths_of_the_wall_stand_for_the_tolerance_as_printed(size: str) -> None:
    """ASTM B88 prints 10 % of the wall rounded to 0.001 in, so the rating lies where half of that step puts it."""
    (_, diameter_tolerance), ratings_psi = ROWS[size]
    tube = TYPE_L.find(size)
    half_step_m = 0.0005 * METRES_PER_INCH
    low, high = (
        allowable_gauge_pressure(STRESS_Pa, tube.wall_m * 0.9 + step, tube.outside_diameter_m + spread, 1.0)
        / PASCALS_PER_PSI
        for step, spread in ((-half_step_m, diameter_tolerance * METRES_PER_INCH), (half_step_m, 0.0))
    )
    assert np.all(low - 1.0 <= ratings_psi)
    assert np.all(np.asarray(ratings_psi) <= high + 1.0)
    plain = allowable_gauge_pressure(STRESS_Pa, tube.wall_m, tube.outside_diameter_m) / PASCALS_PER_PSI
    assert np.all((low <= plain) & (plain <= high))


def test_the_worked_value_of_the_handbook() -> None:
    """Type L 2-1/8 in, annealed, 100 F: 364 psi (Copper Tube Handbook)."""
    tube = TYPE_L.find("2-1/8")
    rating = allowable_gauge_pressure(STRESS_Pa[0], tube.wall_m, tube.outside_diameter_m, TYPE_L.least_wall_fraction)
    assert round(float(rating) / PASCALS_PER_PSI) == 364


@pytest.mark.parametrize(
    ("stress", "wall", "diameter"), [(0.0, 1.0, 10.0), (1.0, -1.0, 10.0), (1.0, 5.0, 10.0), (float("nan"), 1.0, 10.0)]
)
def test_impossible_tubes_are_refused(stress: float, wall: float, diameter: float) -> None:
    with pytest.raises(ValueError, match="must be"):
        allowable_gauge_pressure(stress, wall, diameter)
