"""A line along its developed length: elevation, pressure, and how far it is from saturation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import CircuitResult, FloatArray, LineResult
from linesizer.domain.route import Service
from linesizer.properties.library import load
from linesizer.solver.phase import liquid, vapour
from linesizer.units import Kind, System, display_with_unit


@dataclass(frozen=True, slots=True)
class ProfileLeg:
    """Where a leg lies along the line, [m] of developed length."""

    id: str
    begin_m: float
    end_m: float


@dataclass(frozen=True, slots=True)
class Curve:
    """One condition; arrays of shape (nodes,), absolute pressure and distance from saturation.

    ``flash_m`` is where liquid would begin to boil, None where it stays liquid.  ``passes`` is False where the flow
    does not pass; the arrays are NaN then.
    """

    title: str
    pressure_Pa: FloatArray
    margin_K: FloatArray
    passes: bool
    flash_m: float | None


@dataclass(frozen=True, slots=True)
class Profile:
    """One line at all conditions; ``at_m`` and ``elevation_m`` have shape (nodes,)."""

    line: str
    service: Service
    at_m: FloatArray
    elevation_m: FloatArray
    legs: tuple[ProfileLeg, ...]
    curves: tuple[Curve, ...]

    @property
    def length_m(self) -> float:
        """The developed length."""
        return float(self.at_m[-1])

    @property
    def margin_word(self) -> str:
        """What the distance from saturation is called."""
        return "subcooling left" if self.service is Service.LIQUID else "superheat"

    def leg_at(self, at_m: float) -> ProfileLeg | None:
        """Return the leg at a place along the line, the one upstream at a node; None outside it."""
        return next((leg for leg in self.legs if leg.begin_m <= at_m <= leg.end_m), None)


def line_profile(result: CircuitResult, line: LineResult) -> Profile | None:
    """Return a line's profile, None where its figures are not calculated.

    Pressures are those of the result, straight between the nodes.  The distance from saturation follows from them with
    the enthalpy that the line's fluid enters with: subcooling for liquid (below 0 by how much it falls short),
    superheat for vapour.
    """
    legs = line.legs
    if legs is None or line.flow is None or not legs.ids:
        return None
    geometry = line_geometry(line.line)
    at_m = np.concatenate(([0.0], np.cumsum(legs.length_m)))
    elevation_m = np.array([geometry.legs[0].start_m[2], *(leg.end_m[2] for leg in geometry.legs)])
    table = load(result.circuit.refrigerant)
    is_liquid = line.line.service is Service.LIQUID
    phase = liquid(table) if is_liquid else vapour(table)
    enthalpies = result.conditions.liquid_J_kg if is_liquid else result.conditions.discharge_J_kg
    curves = []
    for index, condition in enumerate(result.circuit.conditions):
        pressure_Pa = np.concatenate((legs.inlet_Pa[:1, index], legs.outlet_Pa[:, index]))
        passes = bool(np.isfinite(pressure_Pa).all() and np.isfinite(enthalpies[index]))
        margin_K = np.full(pressure_Pa.shape, np.nan)
        if passes:
            enthalpy = np.full(pressure_Pa.shape, enthalpies[index])
            margin_K = phase.saturation_temperature(pressure_Pa) - phase.temperature(pressure_Pa, enthalpy)
            margin_K = margin_K if is_liquid else -margin_K
        flash_m = flash_place(at_m, margin_K) if is_liquid and passes else None
        curves.append(Curve(condition.title, pressure_Pa, np.asarray(margin_K), passes, flash_m))
    bands = tuple(
        ProfileLeg(name, float(begin), float(end)) for name, begin, end in zip(legs.ids, at_m, at_m[1:], strict=False)
    )
    return Profile(line.line.id, line.line.service, at_m, elevation_m, bands, tuple(curves))


def flash_place(at_m: FloatArray, margin_K: FloatArray) -> float | None:
    """Return where the margin first falls below zero, straight between two nodes, [m]; None where it never does."""
    below = np.flatnonzero(margin_K < 0.0)
    if not below.size:
        return None
    first = int(below[0])
    if first == 0:
        return float(at_m[0])
    before, after = float(margin_K[first - 1]), float(margin_K[first])
    share = before / (before - after)
    return float(at_m[first - 1] + share * (at_m[first] - at_m[first - 1]))


def readout(profile: Profile, curve: Curve, at_m: float, system: System, atmosphere_Pa: float) -> str:
    """Return the figures at one place along the line as a sentence."""
    leg = profile.leg_at(at_m)
    elevation_m = float(np.interp(at_m, profile.at_m, profile.elevation_m))
    pressure = display_with_unit(
        Kind.PRESSURE, float(np.interp(at_m, profile.at_m, curve.pressure_Pa)), system, atmosphere_Pa=atmosphere_Pa
    )
    margin = display_with_unit(
        Kind.TEMPERATURE_DIFFERENCE, float(np.interp(at_m, profile.at_m, curve.margin_K)), system
    )
    return (
        f"{leg.id if leg is not None else profile.line} at {display_with_unit(Kind.LENGTH, at_m, system)}: "
        f"{pressure}, {margin} {profile.margin_word}, elevation {display_with_unit(Kind.LENGTH, elevation_m, system)}"
    )


def flash_words(profile: Profile, at_m: float, system: System) -> str:
    """Return what the marker says where liquid would begin to boil."""
    leg = profile.leg_at(at_m)
    where = f" in {leg.id}" if leg is not None else ""
    return f"boils from {display_with_unit(Kind.LENGTH, at_m, system)}{where}"
