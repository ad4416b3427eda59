"""A line along its developed length: elevation, pressure, and how far it is from saturation."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from linesizer.domain.branch_result import BranchResult
from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import CircuitResult, FloatArray, LineResult
from linesizer.domain.route import Service
from linesizer.units import Kind, System, display_with_unit


@dataclass(frozen=True, slots=True)
class ProfileLeg:
    """Where a leg lies along the line, [m] of developed length."""

    id: str
    begin_m: float
    end_m: float


@dataclass(frozen=True, slots=True)
class Curve:
    """One condition: absolute pressure of shape (nodes,), and distance from saturation over places of its own.

    The places of ``margin_K`` are the nodes, and the place where it is used up: in a leg that gives off heat it is not
    straight.

    ``turns_m`` is where liquid would begin to boil or gas to condense, None where it does neither;
    ``vapour_fraction`` what is vapour at the end of liquid that boils, indicative.  ``passes`` is False where the flow
    does not pass; the arrays are NaN then.
    """

    title: str
    pressure_Pa: FloatArray
    margin_at_m: FloatArray
    margin_K: FloatArray
    passes: bool
    turns_m: float | None = None
    vapour_fraction: float | None = None


@dataclass(frozen=True, slots=True)
class Profile:
    """One line at all conditions; ``at_m`` and ``elevation_m`` have shape (nodes,).

    ``way`` says to or from which of several condensers, empty where the line does not branch.
    """

    line: str
    service: Service
    at_m: FloatArray
    elevation_m: FloatArray
    legs: tuple[ProfileLeg, ...]
    curves: tuple[Curve, ...]
    way: str = ""

    @property
    def length_m(self) -> float:
        """The developed length."""
        return float(self.at_m[-1])

    @property
    def margin_word(self) -> str:
        """What the distance from saturation is called."""
        return "subcooling left" if self.service is Service.LIQUID else "superheat"

    @property
    def turn_word(self) -> str:
        """What the fluid does where it reaches saturation."""
        return "boils" if self.service is Service.LIQUID else "condenses"

    def leg_at(self, at_m: float) -> ProfileLeg | None:
        """Return the leg at a place along the line, the one upstream at a node; None outside it."""
        return next((leg for leg in self.legs if leg.begin_m <= at_m <= leg.end_m), None)


def line_profile(result: CircuitResult, line: LineResult, leg: str | None = None, condition: int = 0) -> Profile | None:
    """Return a line's profile, None where its figures are not calculated.

    Pressures and the distance from saturation are those of the result, heat along the way included, straight between
    the nodes: subcooling for liquid, superheat for gas, below 0 by how much it falls short.  Of a line to or from
    several condensers one way is shown: the one that ``leg`` lies on, else the one that decides at a condition.
    """
    legs, flow = line.legs, line.flow
    if legs is None or flow is None or not legs.ids:
        return None
    branch = _shown_branch(line, leg, condition)
    on_way = legs.ids if branch is None else branch.legs
    places = np.array([legs.ids.index(name) for name in on_way])
    geometry = [line_geometry(line.line).legs[place] for place in places]
    at_m = np.concatenate(([0.0], np.cumsum(legs.length_m[places])))
    elevation_m = np.array([geometry[0].start_m[2], *(leg.end_m[2] for leg in geometry)])
    curves = []
    for index, one in enumerate(result.circuit.conditions):
        first, own = places[:1], places
        pressure_Pa = np.concatenate((legs.inlet_Pa[first, index], legs.outlet_Pa[own, index]))
        margin_K = np.concatenate((legs.start_margin_K[first, index], legs.end_margin_K[own, index]))
        passes = bool(flow.passes_flow[index] and np.isfinite(pressure_Pa).all() and np.isfinite(margin_K).all())
        # The line's figures on turning are those of the way where it turns first.
        decides = branch is None or (bool(branch.governs[index]) and bool((margin_K < 0.0).any()))
        turns_m, places_m = _known(flow.turns_at_m[index]) if decides else None, at_m
        if passes and turns_m is not None and turns_m > 0.0:
            before = int(np.searchsorted(at_m, turns_m))
            places_m, margin_K = np.insert(at_m, before, turns_m), np.insert(margin_K, before, 0.0)
        curves.append(
            Curve(
                one.title,
                pressure_Pa,
                places_m,
                margin_K,
                passes,
                turns_m=turns_m,
                vapour_fraction=_known(flow.indicative_vapour_fraction[index]) if decides else None,
            )
        )
    bands = tuple(
        ProfileLeg(name, float(begin), float(end)) for name, begin, end in zip(on_way, at_m, at_m[1:], strict=False)
    )
    way = "" if branch is None or len(line.branches) == 1 else _way_words(result, line, branch)
    return Profile(line.line.id, line.line.service, at_m, elevation_m, bands, tuple(curves), way)


def _shown_branch(line: LineResult, leg: str | None, condition: int) -> BranchResult | None:
    on = [branch for branch in line.branches if leg in branch.legs] or list(line.branches)
    if not on:
        return None
    return next((branch for branch in on if branch.governs[min(condition, len(branch.governs) - 1)]), on[0])


def _way_words(result: CircuitResult, line: LineResult, branch: BranchResult) -> str:
    name = next(item.name or item.id for item in result.circuit.equipment if item.id == branch.equipment)
    return f"{'to' if line.line.service is Service.DISCHARGE else 'from'} {name}"


def _known(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def readout(profile: Profile, curve: Curve, at_m: float, system: System, atmosphere_Pa: float) -> str:
    """Return the figures at one place along the line as a sentence."""
    leg = profile.leg_at(at_m)
    elevation_m = float(np.interp(at_m, profile.at_m, profile.elevation_m))
    pressure = display_with_unit(
        Kind.PRESSURE, float(np.interp(at_m, profile.at_m, curve.pressure_Pa)), system, atmosphere_Pa=atmosphere_Pa
    )
    margin = display_with_unit(
        Kind.TEMPERATURE_DIFFERENCE, float(np.interp(at_m, curve.margin_at_m, curve.margin_K)), system
    )
    return (
        f"{leg.id if leg is not None else profile.line} at {display_with_unit(Kind.LENGTH, at_m, system)}: "
        f"{pressure}, {margin} {profile.margin_word}, elevation {display_with_unit(Kind.LENGTH, elevation_m, system)}"
    )


def turn_words(profile: Profile, curve: Curve, system: System) -> str:
    """Return what the marker says where liquid begins to boil or gas to condense; empty where neither does."""
    if curve.turns_m is None:
        return ""
    leg = profile.leg_at(curve.turns_m)
    where = f" in {leg.id}" if leg is not None else ""
    words = f"{profile.turn_word} from {display_with_unit(Kind.LENGTH, curve.turns_m, system)}{where}"
    if curve.vapour_fraction is not None and curve.vapour_fraction > 0.0:
        percent = 100.0 * curve.vapour_fraction
        words += f"; {f'about {percent:.0f}' if percent >= 1.0 else 'under 1'} % vapour at its end"
    return words
