"""Losses of all fittings, or of all parts, of each leg, gathered so that they hold for any bore and flow."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np

from linesizer.solver.arrays import FloatArray
from linesizer.units import METRES_PER_INCH

WATER_DENSITY_kg_m3 = 1000.0
"""Density of the water that a Kv is stated for (IEC 60534-1: 5 to 40 C, taken as 1000)."""

KV_DROP_Pa = 1e5
"""Drop at which a Kv states its flow: 1 bar (IEC 60534-1)."""

KV_TIME_s = 3600.0
"""A Kv counts cubic metres an hour."""


@dataclass(frozen=True, slots=True)
class Losses:
    """Sums of loss terms per leg; every array has shape (legs,).

    The coefficient on a leg's own velocity head is ``k1 / Re + k_fixed + k_by_bore / bore_in ** bore_exponent + f *
    (bores + length_m / bore)``; ``inverse_kv2`` adds 1 / Kv^2 with Kv in m3/h; ``drop_per_flow2`` a drop over flow
    squared, [Pa s2/kg2]; ``drop_Pa`` a constant drop, [Pa].
    """

    k1: FloatArray
    k_fixed: FloatArray
    k_by_bore: FloatArray
    bores: FloatArray
    length_m: FloatArray
    inverse_kv2: FloatArray
    drop_per_flow2: FloatArray
    drop_Pa: FloatArray
    bore_exponent: float = 0.3

    @classmethod
    def none(cls, legs: int, bore_exponent: float = 0.3) -> Losses:
        """Return losses of nothing for so many legs, in arrays of their own."""
        k1, k_fixed, k_by_bore, bores, length, inverse_kv2, per_flow2, drop = (np.zeros(legs) for _ in range(8))
        return cls(k1, k_fixed, k_by_bore, bores, length, inverse_kv2, per_flow2, drop, bore_exponent)

    def only(self, leg: int) -> Losses:
        """Return the losses of one leg."""
        at = slice(leg, leg + 1)
        return replace(
            self,
            **{field.name: getattr(self, field.name)[at] for field in fields(self) if field.name != "bore_exponent"},
        )

    def of_leg(self, leg: int) -> Losses:
        """Return the losses of one leg alone."""
        columns = (getattr(self, field.name)[leg : leg + 1] for field in fields(self) if field.name != "bore_exponent")
        k1, k_fixed, k_by_bore, bores, length, inverse_kv2, per_flow2, drop = columns
        return Losses(k1, k_fixed, k_by_bore, bores, length, inverse_kv2, per_flow2, drop, self.bore_exponent)

    def repeated(self, count: int) -> Losses:
        """Return the losses of one leg for so many legs."""
        columns = (
            np.repeat(getattr(self, field.name), count) for field in fields(self) if field.name != "bore_exponent"
        )
        k1, k_fixed, k_by_bore, bores, length, inverse_kv2, per_flow2, drop = columns
        return Losses(k1, k_fixed, k_by_bore, bores, length, inverse_kv2, per_flow2, drop, self.bore_exponent)

    def coefficient(self, reynolds: FloatArray, bore: FloatArray, friction: FloatArray) -> FloatArray:
        """Return the loss coefficient on the velocity head in ``bore``.

        Parameters
        ----------
        reynolds, bore, friction : ndarray, shape (legs, ...)
            Reynolds number [-], bore [m] and Darcy friction factor [-]; the axes behind the legs broadcast.

        Returns
        -------
        ndarray, shape (legs, ...)
            Loss coefficient, [-].
        """
        behind = (slice(None),) + (None,) * (reynolds.ndim - 1)
        total = self.k_fixed[behind]
        if self.k1.any():
            total = total + self.k1[behind] / reynolds
        if self.k_by_bore.any():
            total = total + self.k_by_bore[behind] * (METRES_PER_INCH / bore) ** self.bore_exponent
        if self.bores.any() or self.length_m.any():
            total = total + friction * (self.bores[behind] + self.length_m[behind] / bore)
        return np.asarray(total)

    def flow_over_kv(self, mass_flow: FloatArray, dimensions: int) -> FloatArray:
        r"""Return the drop times density of all parts rated by Kv, [Pa kg/m3].

        .. math:: \Delta p = 1\,\mathrm{bar} \cdot \frac{\rho}{1000} \left(\frac{3600\,\dot m/\rho}{K_v}\right)^2

        ``mass_flow`` broadcasts against (legs, ...) with ``dimensions`` axes in all; IEC 60534-2-1, liquid without
        choking.
        """
        behind = (slice(None),) + (None,) * (dimensions - 1)
        hourly = KV_TIME_s * mass_flow
        return np.asarray(KV_DROP_Pa / WATER_DENSITY_kg_m3 * hourly**2 * self.inverse_kv2[behind])

    def stated_drop(self, mass_flow: FloatArray, dimensions: int) -> FloatArray:
        """Return the drop of all parts that state one, [Pa], broadcast like ``flow_over_kv``."""
        behind = (slice(None),) + (None,) * (dimensions - 1)
        return np.asarray(self.drop_per_flow2[behind] * mass_flow**2 + self.drop_Pa[behind])
