"""Compares a table with CoolProp live, at random states.

CoolProp is asked by pressure and temperature with the phase imposed, a way that the building of the tables does not
use.  Saturation is CoolProp's own call; where that fails on a mixture the reference is the equality of fugacities
(solved to 1e-8), and the state counts as bridged.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState
from scipy.optimize import brentq

from linesizer.properties import library
from linesizer.properties.generator.build import freezing_floor
from linesizer.properties.generator.equation import EquationOfState, Phase, UntrustworthyTableError, abstract_state
from linesizer.properties.generator.recipe import RECIPES, Recipe
from linesizer.properties.generator.saturation import SaturationLine, saturation_call, saturation_line
from linesizer.properties.generator.viscosity import ViscosityModel
from linesizer.properties.state import State
from linesizer.properties.table import RefrigerantTable

EFFICIENCY = 0.7
"""Isentropic efficiency of the compression whose end temperature is compared."""


@dataclass(frozen=True, slots=True)
class VerifiedQuantity:
    """The worst error of one quantity over all states.

    ``unit`` is ``"1"`` for errors relative to the value; ``allowed`` is the error above which no table is written;
    ``where`` names the worst state.
    """

    quantity: str
    unit: str
    allowed: float
    worst: float = 0.0
    where: str = ""
    states: int = 0
    bridged: int = 0


_ALLOWED = {
    "saturation pressure": ("1", 2e-6),
    "saturation temperature": ("K", 1e-3),
    "saturated vapour density": ("1", 1e-4),
    "saturated liquid density": ("1", 1e-4),
    "superheated density": ("1", 4e-6),
    "subcooled density": ("1", 1e-5),
    "enthalpy": ("J/kg", 2.0),
    "entropy": ("J/(kg K)", 5e-3),
    "temperature": ("K", 1e-3),
    "discharge temperature": ("K", 1e-3),
    "sound speed": ("1", 1e-3),
    "vapour viscosity": ("1", 2e-3),
    "liquid viscosity": ("1", 2e-3),
}
"""The accuracy that the design names, where it names one; viscosity is against the rule that the table records."""


class _Worst:
    """Keeps the worst error of every quantity."""

    def __init__(self) -> None:
        self.found = {name: VerifiedQuantity(name, unit, limit) for name, (unit, limit) in _ALLOWED.items()}

    def add(self, quantity: str, table: object, reference: float, where: str, *, bridged: bool = False) -> None:
        before = self.found[quantity]
        error = abs(float(np.asarray(table)) - reference) / (abs(reference) if before.unit == "1" else 1.0)
        worse = not error <= before.worst  # so that a NaN is the worst of all
        self.found[quantity] = replace(
            before,
            worst=error if worse else before.worst,
            where=where if worse else before.where,
            states=before.states + 1,
            bridged=before.bridged + bridged,
        )


def verify(name: str, count: int = 200, seed: int = 1) -> tuple[VerifiedQuantity, ...]:
    """Compare a shipped table with CoolProp at ``count`` random states of each kind.

    Raises
    ------
    UserError
        PROP-01 if the refrigerant is not shipped.
    """
    return verify_table(library.load(name), RECIPES[name], count, seed)


def verify_table(
    table: RefrigerantTable, recipe: Recipe, count: int = 200, seed: int = 1
) -> tuple[VerifiedQuantity, ...]:
    """Compare a table with CoolProp at ``count`` random states of each kind."""
    random = np.random.default_rng(seed)
    worst = _Worst()
    phases: tuple[Phase, Phase] = ("vapour", "liquid")
    for phase in phases:
        live = _Live(recipe, phase)
        for temperature in random.uniform(*_entered(table), count):
            _saturation(worst, table, live, float(temperature))
            _beside(worst, table, live, float(temperature), float(random.uniform()))
    live = _Live(recipe, "vapour")
    for evaporating, condensing, superheat in _compressions(table, random, count):
        _discharge(worst, table, live, evaporating, condensing, superheat)
    return tuple(worst.found.values())


def require_accurate(name: str, verified: tuple[VerifiedQuantity, ...]) -> None:
    """Raise UntrustworthyTableError if any quantity is worse than allowed."""
    for quantity in verified:
        if not quantity.worst <= quantity.allowed:
            raise UntrustworthyTableError(
                name,
                f"{quantity.quantity} is off by {quantity.worst:.1e} {quantity.unit} at {quantity.where}; "
                f"allowed {quantity.allowed:.0e}",
            )


def as_text(name: str, verified: tuple[VerifiedQuantity, ...]) -> str:
    """Return the comparison as a table of text."""
    lines = [f"{name}: worst difference between the table and CoolProp"]
    for quantity in verified:
        unit = "relative" if quantity.unit == "1" else quantity.unit
        bridged = f", {quantity.bridged} of them bridged" if quantity.bridged else ""
        lines.append(
            f"  {quantity.quantity:26}{quantity.worst:9.1e} {unit:9} at {quantity.where} "
            f"({quantity.states} states{bridged})"
        )
    return "\n".join(lines)


class _Live:
    """CoolProp for one phase of one refrigerant."""

    def __init__(self, recipe: Recipe, phase: Phase) -> None:
        self.recipe = recipe
        self.phase = phase
        self.single: AbstractState = abstract_state(recipe)
        self.single.specify_phase(CoolProp.iphase_gas if phase == "vapour" else CoolProp.iphase_liquid)
        self.flash: AbstractState = abstract_state(recipe)
        self.line: SaturationLine = saturation_line(recipe, phase)
        self.viscosity = ViscosityModel(recipe, phase)

    def saturation_pressure(self, temperature_K: float) -> tuple[float, bool]:
        """Return the saturation pressure, [Pa], and whether it had to be bridged."""
        found = saturation_call(self.flash, self.phase, temperature_K)
        if self.recipe.equation != "mixture" and found is not None:
            return found, False
        own = self.line.at_temperature(temperature_K).pressure_Pa
        if found is not None and abs(found / own - 1.0) < 1e-6:
            return found, False
        return own, True

    def bring_to(self, pressure_Pa: float, temperature_K: float) -> bool:
        """Bring ``single`` to a state; return whether CoolProp's own density solver had to be helped."""
        try:
            self.single.update(CoolProp.PT_INPUTS, pressure_Pa, temperature_K)
        except ValueError:
            start = self.line.at_pressure(pressure_Pa)
            equation = EquationOfState(self.recipe, self.phase)
            density = equation.density(pressure_Pa, temperature_K, start.density_kg_m3)
            self.single.update(CoolProp.DmassT_INPUTS, density, temperature_K)
            return True
        return False

    def entropy(self, pressure_Pa: float, temperature_K: float) -> float:
        """Return the entropy at a pressure and a temperature, [J/(kg K)]."""
        self.bring_to(pressure_Pa, temperature_K)
        return float(self.single.smass())


def _entered(table: RefrigerantTable) -> tuple[float, float]:
    return table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K


def _saturation(worst: _Worst, table: RefrigerantTable, live: _Live, temperature_K: float) -> None:
    pressure, bridged = live.saturation_pressure(temperature_K)
    where = f"{live.phase} saturated at {temperature_K - 273.15:.2f} °C"
    if live.phase == "vapour":
        found, back, state = (
            table.dew_pressure(temperature_K),
            table.dew_temperature(pressure),
            table.saturated_vapour(pressure),
        )
    else:
        found, back, state = (
            table.bubble_pressure(temperature_K),
            table.bubble_temperature(pressure),
            table.saturated_liquid(pressure),
        )
    bridged = live.bring_to(pressure, temperature_K) or bridged
    worst.add("saturation pressure", found, pressure, where, bridged=bridged)
    worst.add("saturation temperature", back, temperature_K, where, bridged=bridged)
    worst.add(f"saturated {live.phase} density", state.density_kg_m3, live.single.rhomass(), where, bridged=bridged)
    _rest(worst, state, live, where)


def _beside(worst: _Worst, table: RefrigerantTable, live: _Live, saturation_K: float, share: float) -> None:
    """Compare a state away from saturation by a share of the region's span."""
    if live.phase == "vapour":
        pressure = float(table.dew_pressure(saturation_K))
        temperature = saturation_K + 0.01 + share * (table.vapour_span_K - 0.02)
    else:
        pressure = float(table.bubble_pressure(saturation_K))
        coldest = max(saturation_K - table.liquid_span_K + 4.0, freezing_floor(live.recipe) + 3.0)
        temperature = saturation_K - 0.01 - share * max(saturation_K - coldest, 0.0)
    live.bring_to(pressure, temperature)
    enthalpy = live.single.hmass()
    where = f"{live.phase} at {pressure / 1e5:.3f} bar, {temperature - 273.15:.2f} °C"
    if live.phase == "vapour":
        state, by_temperature = table.vapour_ph(pressure, enthalpy), table.vapour_pt(pressure, temperature)
        by_entropy = table.vapour_ps(pressure, live.single.smass())
    else:
        state, by_temperature = table.liquid_ph(pressure, enthalpy), table.liquid_pt(pressure, temperature)
        by_entropy = table.liquid_ps(pressure, live.single.smass())
    density = "superheated density" if live.phase == "vapour" else "subcooled density"
    worst.add(density, state.density_kg_m3, live.single.rhomass(), where)
    worst.add("temperature", state.temperature_K, temperature, where)
    for other in (by_temperature, by_entropy):
        worst.add(density, other.density_kg_m3, live.single.rhomass(), where)
        worst.add("enthalpy", other.enthalpy_J_kg, enthalpy, where)
    _rest(worst, state, live, where)


def _rest(worst: _Worst, state: State, live: _Live, where: str) -> None:
    single = live.single
    worst.add("enthalpy", state.enthalpy_J_kg, single.hmass(), where)
    worst.add("entropy", state.entropy_J_kgK, single.smass(), where)
    worst.add("sound speed", state.sound_speed_m_s, single.speed_sound(), where)
    viscosity = live.viscosity.at(single.T(), single.rhomass())
    worst.add(f"{live.phase} viscosity", state.viscosity_Pa_s, viscosity, where)


def _compressions(
    table: RefrigerantTable, random: np.random.Generator, count: int
) -> Iterator[tuple[float, float, float]]:
    """Yield evaporating and condensing temperature and suction superheat, [K], 5 to 60 K apart."""
    low, high = _entered(table)
    for lift, share, superheat in random.uniform((5.0, 0.0, 1.0), (60.0, 1.0, 20.0), (count, 3)):
        evaporating = low + share * (high - lift - low)
        yield float(evaporating), float(evaporating + lift), float(superheat)


def _discharge(
    worst: _Worst, table: RefrigerantTable, live: _Live, evaporating_K: float, condensing_K: float, superheat_K: float
) -> None:
    """Compare the end of a compression where it stays inside the table."""
    suction_Pa, discharge_Pa = float(table.dew_pressure(evaporating_K)), float(table.dew_pressure(condensing_K))
    live.bring_to(suction_Pa, evaporating_K + superheat_K)
    enthalpy, entropy = live.single.hmass(), live.single.smass()
    coldest, hottest = condensing_K + 0.01, condensing_K + table.vapour_span_K
    if not live.entropy(discharge_Pa, coldest) < entropy < live.entropy(discharge_Pa, hottest):
        return

    def surplus(temperature_K: float) -> float:
        return live.entropy(discharge_Pa, temperature_K) - entropy

    live.entropy(discharge_Pa, brentq(surplus, coldest, hottest, xtol=1e-9))
    end = enthalpy + (live.single.hmass() - enthalpy) / EFFICIENCY
    live.bring_to(discharge_Pa, hottest)
    if end >= live.single.hmass():
        return

    def excess(temperature_K: float) -> float:
        live.entropy(discharge_Pa, temperature_K)
        return float(live.single.hmass() - end)

    reference = brentq(excess, coldest, hottest, xtol=1e-9)
    suction = table.vapour_pt(suction_Pa, evaporating_K + superheat_K)
    ideal = table.vapour_ps(discharge_Pa, suction.entropy_J_kgK).enthalpy_J_kg
    start = suction.enthalpy_J_kg
    found = table.vapour_temperature_ph(discharge_Pa, start + (ideal - start) / EFFICIENCY)
    where = f"{evaporating_K - 273.15:.1f} + {superheat_K:.1f} K to {condensing_K - 273.15:.1f} °C"
    worst.add("discharge temperature", found, reference, where)
