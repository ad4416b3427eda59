"""Legs cut into pieces where the density changes much within one."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.lost_heat import LostHeat
from linesizer.solver.march import Loads, Profile, Terms


@dataclass(frozen=True, slots=True)
class Pieces:
    """How legs are cut: each piece's leg, its share of it, whether it is the leg's first; where legs start."""

    leg: NDArray[np.intp]
    share: FloatArray
    first: BoolArray
    starts: NDArray[np.intp]

    @property
    def part(self) -> FloatArray:
        """Part of its leg at which each piece starts, (pieces,)."""
        return np.asarray((np.arange(len(self.leg)) - self.starts[self.leg]) * self.share)

    def lost(self, lost: LostHeat) -> FloatArray:
        """Return the enthalpy lost up to each of the pieces' nodes, (pieces + 1, B), [J/kg]."""
        return np.concatenate([lost.within(self.leg, self.part), lost.at_nodes_J_kg[-1:]])

    def loads(self, loads: Loads) -> Loads:
        """Return the loads of the pieces from those of the legs."""
        behind = (slice(None),) + (None,) * (loads.mass_flux.ndim - 1)
        share = self.share[behind]
        flux = loads.mass_flux[self.leg]
        return Loads(
            tube=loads.tube[self.leg] * share,
            fittings=loads.fittings[self.leg] * share,
            parts=loads.parts[self.leg] * share,
            fittings_stated_Pa=loads.fittings_stated_Pa[self.leg] * share,
            parts_stated_Pa=loads.parts_stated_Pa[self.leg] * share,
            rise_m=loads.rise_m[self.leg] * share,
            mass_flux=flux,
            flux_before=np.where(self.first[behind], loads.flux_before[self.leg], flux),
        )

    def guess(self, pressure: FloatArray) -> FloatArray:
        """Return pressures at the pieces' nodes from those at the legs' nodes, linear along each leg."""
        behind = (slice(None),) + (None,) * (pressure.ndim - 1)
        part = self.part[behind]
        start, end = pressure[:-1][self.leg], pressure[1:][self.leg]
        return np.concatenate([start + part * (end - start), pressure[-1:]])

    def gather(self, terms: Terms) -> Terms:
        """Return the terms of the legs from those of the pieces."""
        return Terms(*(np.add.reduceat(getattr(terms, field.name), self.starts, axis=0) for field in fields(Terms)))

    def nodes(self, profile: Profile) -> Profile:
        """Return the profile at the legs' own nodes."""
        at = np.append(self.starts, len(self.leg))
        return Profile(profile.pressure_Pa[at], profile.density_kg_m3[at], profile.settled)


def cut_legs(profile: Profile, most_change: float, most_pieces: int) -> Pieces | None:
    """Return how to cut legs so that density changes by no more than a fraction within a piece.

    Parameters
    ----------
    profile : Profile
        A first solution at the legs' nodes.
    most_change : float
        Largest change of density within a piece, as a fraction.
    most_pieces : int
        Most pieces that one leg is cut into.

    Returns
    -------
    Pieces or None
        None where no leg needs cutting.
    """
    density = profile.density_kg_m3
    change = np.abs(density[1:] - density[:-1]) / np.minimum(density[1:], density[:-1])
    legs = len(change)
    worst = np.where(profile.settled, change, 0.0).reshape(legs, -1).max(axis=1, initial=0.0)
    count = np.clip(np.ceil(worst / most_change), 1, most_pieces).astype(np.intp)
    if (count == 1).all():
        return None
    starts = np.concatenate([[0], np.cumsum(count)[:-1]]).astype(np.intp)
    leg = np.repeat(np.arange(legs), count)
    first = np.zeros(len(leg), dtype=np.bool_)
    first[starts] = True
    return Pieces(leg, (1.0 / count)[leg], first, starts)
