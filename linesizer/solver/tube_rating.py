"""What each leg's tube may bear: stress by temper and temperature, wall, or the maker's listed rating."""

from __future__ import annotations

import numpy as np

from linesizer.catalog.allowable_stress import allowable_stress_Pa, stress_table
from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import Material, Temper, TubeCatalogue
from linesizer.domain.route import Joint, Service
from linesizer.solver.arrays import FloatArray
from linesizer.solver.pressure_rating import allowable_gauge_pressure


def rated_temper(catalogue: TubeCatalogue, joint: Joint) -> Temper:
    """Return the temper that a rating may count on: brazing anneals copper, whatever it was when drawn."""
    if catalogue.material is Material.COPPER and joint is not Joint.MECHANICAL:
        return Temper.ANNEALED
    return catalogue.temper


def rating_temperature_C(practice: PracticeSet, service: Service, discharge_C: FloatArray) -> float:
    """Return the temperature that the tube of a service is rated at, [C].

    The practice set's least, or for a discharge line the hottest discharge gas plus the practice set's reserve if
    that is more.
    """
    least = practice.value("rating_temperature_least_C")
    if service is not Service.DISCHARGE:
        return least
    hottest_C = float(discharge_C[np.isfinite(discharge_C)].max(initial=-np.inf))
    return max(least, hottest_C + practice.value("rating_temperature_above_discharge_K"))


def tube_ratings_Pa(catalogue: TubeCatalogue, joint: Joint, temperature_C: float) -> FloatArray:
    """Return the gauge pressure that each size of a catalogue may bear at a temperature.

    Parameters
    ----------
    catalogue : TubeCatalogue
        The tube.
    joint : Joint
        How it is joined.
    temperature_C : float
        Temperature that the rating is taken at, [C].

    Returns
    -------
    ndarray, shape (sizes,)
        Allowable gauge pressure, [Pa]; NaN above the highest temperature that the stress table knows.
    """
    temper = rated_temper(catalogue, joint)
    if temperature_C > stress_table(temper).highest_C:
        return np.full(len(catalogue.sizes), np.nan)
    return allowable_gauge_pressure(
        allowable_stress_Pa(temper, temperature_C),
        catalogue.walls_m,
        catalogue.outside_diameters_m,
        catalogue.least_wall_fraction,
    )
