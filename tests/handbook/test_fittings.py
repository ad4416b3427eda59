"""Fittings as equivalent lengths against single cells of the handbook's table.

ASHRAE Handbook - Refrigeration, chapter "Halocarbon Refrigeration Systems" (2010, 2014: chapter 1; 2002, 2006: chapter
2), tables of fitting and valve losses in equivalent feet of pipe (from memory).  One set of numbers for all materials
and flows, so the friction factor behind it is not known: it lies between that of drawn copper at a Reynolds number of
500,000 and that of fully rough steel.  The handbook's lengths are good to about 35 percent.

Tees are not among the cells: Darby's rows give about two thirds of the handbook's lengths.
"""

from __future__ import annotations

import pytest

from linesizer.catalog.fittings import loss_coefficients
from linesizer.catalog.tubes import tube_catalogue
from linesizer.solver.fitting_loss import three_k
from linesizer.solver.friction import friction_factor
from linesizer.units import METRES_PER_FOOT, METRES_PER_INCH

COPPER_m = tube_catalogue("ASTM-B88-L").roughness_m
STEEL_m = tube_catalogue("ASME-B36.10-40").roughness_m
WITHIN = 1.35

CELLS_FEET = {
    "elbow_90_short": {0.75: 2.0, 1.25: 3.3, 2.0: 5.0, 3.0: 7.5},
    "elbow_90_long": {0.75: 1.4, 1.25: 2.3, 2.0: 3.3, 3.0: 5.0},
    "elbow_45": {0.75: 0.9, 1.25: 1.7, 2.0: 2.6, 3.0: 4.0},
    "globe_valve": {0.75: 22.0, 1.25: 38.0, 2.0: 55.0, 3.0: 84.0},
    "angle_valve": {0.75: 9.0, 1.25: 15.0, 2.0: 24.0, 3.0: 35.0},
}


@pytest.mark.parametrize("row", CELLS_FEET)
def test_equivalent_lengths(row: str) -> None:
    constants = loss_coefficients(row)
    for size_in, feet in CELLS_FEET[row].items():
        bore = size_in * METRES_PER_INCH
        longest, shortest = (
            float(three_k(reynolds, bore, constants.k1, constants.ki, constants.kd) * bore)
            / float(friction_factor(reynolds, roughness / bore))
            / METRES_PER_FOOT
            for reynolds, roughness in ((5e5, COPPER_m), (1e8, STEEL_m))
        )
        assert shortest / WITHIN <= feet <= longest * WITHIN, (size_in, shortest, longest, feet)
