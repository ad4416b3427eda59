r"""Growth and offsets against the Copper Tube Handbook's figures and against a hand-worked run.

Copper Development Association, *Copper Tube Handbook*, chapter on expansion (from memory, not read in the book): copper
tube grows about 1-1/8 in for 100 ft and 100 F; the offset is :math:`L = 7.4 \sqrt{D \delta}`, L in feet, outside
diameter D and growth :math:`\delta` in inches, for E = 15.6e6 psi and S = 6000 psi.

By hand, in SI: 20 m of 1-5/8 in copper (D = 41.28 mm) built at 15 C and rated at 90 C:
growth = 17.0e-6 x 20 x 75 = 25.5 mm; offset = sqrt(3 x 117e9 x 0.04128 x 0.0255 / 41.4e6) = sqrt(8.92) = 2.99 m.
"""

from __future__ import annotations

import pytest

from linesizer.catalog.practice import practice_set
from linesizer.solver.growth import offset_length, thermal_growth
from linesizer.units import METRES_PER_FOOT, METRES_PER_INCH, PASCALS_PER_PSI

PRACTICE = practice_set("general")


def test_an_inch_and_an_eighth_in_a_hundred_feet() -> None:
    """A fraction of an inch is good to a sixteenth."""
    grown = thermal_growth(100.0 * METRES_PER_FOOT, PRACTICE.value("growth_expansion_1_K"), 100.0 / 1.8)
    assert float(grown) / METRES_PER_INCH == pytest.approx(1.125, abs=1 / 16)


@pytest.mark.parametrize(("diameter_in", "growth_in"), [(1.125, 0.5), (2.125, 1.0), (4.125, 3.0)])
def test_the_handbooks_offset(diameter_in: float, growth_in: float) -> None:
    """The factor 7.4 is printed to one decimal."""
    length = offset_length(
        growth_in * METRES_PER_INCH, diameter_in * METRES_PER_INCH, 15.6e6 * PASCALS_PER_PSI, 6000.0 * PASCALS_PER_PSI
    )
    assert float(length) / METRES_PER_FOOT / (diameter_in * growth_in) ** 0.5 == pytest.approx(7.4, abs=0.05)


def test_the_run_by_hand() -> None:
    growth = thermal_growth(20.0, 17.0e-6, 90.0 - 15.0)
    assert float(growth) == pytest.approx(0.0255, abs=0.00005)
    assert float(offset_length(growth, 0.04128, 117e9, 41.4e6)) == pytest.approx(2.99, abs=0.005)
