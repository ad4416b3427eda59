"""Oil return: the least flow of vapour that carries an oil film up a riser."""

from __future__ import annotations

import numpy as np

from linesizer.solver.arrays import ArrayLike, FloatArray
from linesizer.solver.static_head import GRAVITY

ENTRAINMENT_CONSTANT = 0.85**2
"""0.7225: a dimensionless gas flow of 0.85 squared (Jacobs et al. 1976, from memory)."""


def minimum_mass_flux(vapour_density: ArrayLike, film_density: ArrayLike, inner_diameter: ArrayLike) -> FloatArray:
    r"""Return the vapour mass flux that just carries an oil film up a riser.

    .. math:: G_{min} = 0.85^2 \sqrt{\rho_v g D (\rho_f - \rho_v)}

    The three arguments broadcast together; call the common shape S.

    Parameters
    ----------
    vapour_density : array_like, shape S
        Density of the refrigerant vapour at the foot of the riser, [kg/m3].
    film_density : array_like, shape S
        Density of the oil-rich liquid film, [kg/m3].
    inner_diameter : array_like, shape S
        Bore of the riser, [m].

    Returns
    -------
    ndarray, shape S
        Least mass flux, [kg/(m2 s)].

    Raises
    ------
    ValueError
        If a density or the bore is not positive, or the vapour is the denser.

    References
    ----------
    .. [1] Jacobs, Scheideman, Kazem, Macken, "Oil transport by refrigerant vapor", ASHRAE Transactions 82(2), 1976.

    Examples
    --------
    R134a at 100 F condensing and 130 F gas, about 43.1 kg/m3, in a bore of 1.505 inch:

    >>> round(float(minimum_mass_flux(43.1, 950.0, 0.038227)), 1)
    87.4
    """
    vapour = np.asarray(vapour_density, dtype=np.float64)
    film = np.asarray(film_density, dtype=np.float64)
    bore = np.asarray(inner_diameter, dtype=np.float64)
    if vapour.min(initial=1.0) <= 0.0 or bore.min(initial=1.0) <= 0.0:
        raise ValueError("vapour density and bore must be above 0")
    difference = film - vapour
    if difference.min(initial=1.0) <= 0.0:
        raise ValueError("the oil film must be denser than the vapour")
    return np.asarray(ENTRAINMENT_CONSTANT * np.sqrt(vapour * GRAVITY * bore * difference))
