"""Air pressure at the site, which lies between absolute and gauge."""

from __future__ import annotations

from linesizer.units.factors import STANDARD_ATMOSPHERE_Pa, STANDARD_GRAVITY_m_s2


def atmospheric_pressure_Pa(altitude_m: float) -> float:
    """Return the mean air pressure at an altitude.

    .. math:: p = p_0 (1 - L h / T_0)^{g M / (R L)}

    Parameters
    ----------
    altitude_m : float
        Height above the sea, [m], -500 to 11,000.

    Returns
    -------
    float
        Air pressure, [Pa], absolute.

    References
    ----------
    .. [1] ISO 2533:1975, Standard atmosphere: T0 288.15 K, L 0.0065 K/m, exponent 5.25588 (from memory).

    Examples
    --------
    >>> round(atmospheric_pressure_Pa(1000.0))
    89875
    """
    lapse_K_m, sea_level_K, molar_mass_kg_mol, gas_constant_J_molK = 0.0065, 288.15, 0.028964420, 8.31432
    exponent = STANDARD_GRAVITY_m_s2 * molar_mass_kg_mol / (gas_constant_J_molK * lapse_K_m)
    return float(STANDARD_ATMOSPHERE_Pa * (1.0 - lapse_K_m * altitude_m / sea_level_K) ** exponent)
