"""A refrigerant's properties by interpolation of its table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any, Generic, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from linesizer.domain.blend_record import BlendRecord, record_from
from linesizer.errors import UserError
from linesizer.properties.region import LINE_QUANTITIES, QUANTITIES, Region
from linesizer.properties.series import FloatArray
from linesizer.properties.state import State
from linesizer.units import ZERO_CELSIUS_K

Value = TypeVar("Value")

FORMAT = 1
"""Of the table files; the generator writes the same number."""


@dataclass(frozen=True, slots=True)
class ByPhase(Generic[Value]):
    """One thing for each phase."""

    liquid: Value
    vapour: Value


_VAPOUR_REACH = (0.1, 0.1)
"""A tenth of the half span on either side: some 6 K below the dew line."""
_LIQUID_REACH = (0.1, 0.7)
"""Above the bubble line a good 20 K, so that a liquid line that runs out of subcooling keeps single-phase values."""


class RefrigerantTable:
    """Properties of one refrigerant; SI units, kelvin, absolute pascal.

    All arguments are array_like and broadcast together; results are float64 arrays of the common shape.  Array calls
    neither raise nor return NaN for finite arguments: outside the table they take the nearest edge, after going
    straight on for a few kelvin of vapour below the dew line and some 20 K of liquid above the bubble line.  Whether
    a state lies inside is told by ``inside_pressure``, ``inside_vapour_ph`` and ``inside_liquid_ph``; single entered
    values are checked by the ``require_`` calls.

    Enthalpy and entropy count from CoolProp's own reference state of each refrigerant: only differences mean
    anything.

    Attributes
    ----------
    name : str
    composition : mapping of str to float
        Mass fraction of each component.
    critical_temperature_K, critical_pressure_Pa : float
    minimum_saturation_temperature_K, maximum_saturation_temperature_K : float
        What may be entered; the table itself reaches 2 K further down and 1 K further up.
    minimum_pressure_Pa, maximum_pressure_Pa : float
        Dew pressure at the two ends of the table.
    molar_mass_kg_mol : float
    vapour_span_K, liquid_span_K : float
        How far the two regions reach from their saturation lines, the liquid's less near its freezing.
    coolprop_version : str
    viscosity_method : ByPhase of str
    viscosity_uncertainty : ByPhase of float
        As fractions.
    bridged : tuple of str
        Where CoolProp gave no value and what was done instead.
    own : BlendRecord or None
        How the table of a blend of a person's own came about; None for a shipped refrigerant.
    """

    def __init__(self, data: Mapping[str, Any]) -> None:
        if data["format"] != FORMAT:
            raise ValueError(f"the table has format {data['format']!r}, and only {FORMAT} can be read")
        self.name: str = data["name"]
        self.composition: Mapping[str, float] = data["mass_fractions"]
        self.critical_temperature_K: float = data["critical_temperature_K"]
        self.critical_pressure_Pa: float = data["critical_pressure_Pa"]
        self.minimum_saturation_temperature_K: float = data["minimum_saturation_temperature_K"]
        self.maximum_saturation_temperature_K: float = data["maximum_saturation_temperature_K"]
        self.molar_mass_kg_mol: float = data["molar_mass_kg_mol"]
        self.vapour_span_K: float = data["vapour_span_K"]
        self.liquid_span_K: float = data["liquid_span_K"]
        self.coolprop_version: str = data["coolprop_version"]
        self.viscosity_method: ByPhase[str] = ByPhase(
            data["liquid"]["viscosity_method"], data["vapour"]["viscosity_method"]
        )
        self.viscosity_uncertainty: ByPhase[float] = ByPhase(
            data["liquid"]["viscosity_uncertainty"], data["vapour"]["viscosity_uncertainty"]
        )
        self.bridged: tuple[str, ...] = tuple(data["bridged"])
        self.own: BlendRecord | None = record_from(data["own"]) if "own" in data else None
        self._vapour = Region(data["vapour"], self.critical_pressure_Pa, _VAPOUR_REACH)
        self._liquid = Region(data["liquid"], self.critical_pressure_Pa, _LIQUID_REACH)
        self.minimum_pressure_Pa = self._vapour.low_Pa
        self.maximum_pressure_Pa = self._vapour.high_Pa

    # --- saturation

    def dew_pressure(self, temperature_K: ArrayLike) -> FloatArray:
        """Return the pressure at which vapour of this temperature begins to condense, [Pa]."""
        (temperature,), shape = _flat(temperature_K)
        return self._vapour.saturation_pressure(temperature).reshape(shape)

    def bubble_pressure(self, temperature_K: ArrayLike) -> FloatArray:
        """Return the pressure at which liquid of this temperature begins to boil, [Pa]."""
        (temperature,), shape = _flat(temperature_K)
        return self._liquid.saturation_pressure(temperature).reshape(shape)

    def dew_temperature(self, pressure_Pa: ArrayLike) -> FloatArray:
        """Return the temperature at which vapour of this pressure begins to condense, [K]."""
        return self._on_line(self._vapour, "temperature_K", pressure_Pa)

    def bubble_temperature(self, pressure_Pa: ArrayLike) -> FloatArray:
        """Return the temperature at which liquid of this pressure begins to boil, [K]."""
        return self._on_line(self._liquid, "temperature_K", pressure_Pa)

    def saturated_vapour(self, pressure_Pa: ArrayLike) -> State:
        """Return vapour at its dew point."""
        (pressure,), shape = _flat(pressure_Pa)
        return self._state(self._vapour, pressure, self._vapour.saturated(pressure, LINE_QUANTITIES), shape)

    def saturated_liquid(self, pressure_Pa: ArrayLike) -> State:
        """Return liquid at its bubble point."""
        (pressure,), shape = _flat(pressure_Pa)
        return self._state(self._liquid, pressure, self._liquid.saturated(pressure, LINE_QUANTITIES), shape)

    # --- one phase, by pressure and enthalpy: the direct way

    def vapour_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> State:
        """Return vapour by pressure and specific enthalpy."""
        return self._by_enthalpy(self._vapour, pressure_Pa, enthalpy_J_kg)

    def liquid_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> State:
        """Return liquid by pressure and specific enthalpy."""
        return self._by_enthalpy(self._liquid, pressure_Pa, enthalpy_J_kg)

    def vapour_density_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the density of vapour, [kg/m3]."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        region = self._vapour
        volume = region.by_enthalpy(region.plan(("volume",)), pressure, enthalpy)[0]
        return _vapour_density(region, pressure, volume).reshape(shape)

    def vapour_viscosity_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the dynamic viscosity of vapour, [Pa s]."""
        return self._one(self._vapour, "viscosity", pressure_Pa, enthalpy_J_kg)

    def vapour_temperature_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the temperature of vapour, [K]."""
        return self._one(self._vapour, "temperature_K", pressure_Pa, enthalpy_J_kg)

    def vapour_density_viscosity_ph(
        self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike
    ) -> tuple[FloatArray, FloatArray]:
        """Return density, [kg/m3], and viscosity, [Pa s], of vapour: cheaper together than one by one."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        region = self._vapour
        volume, viscosity = region.by_enthalpy(region.plan(("volume", "viscosity")), pressure, enthalpy)
        return _vapour_density(region, pressure, volume).reshape(shape), viscosity.reshape(shape)

    def liquid_density_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the density of liquid, [kg/m3]."""
        return 1.0 / self._one(self._liquid, "volume", pressure_Pa, enthalpy_J_kg)

    def liquid_viscosity_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the dynamic viscosity of liquid, [Pa s]."""
        return 1.0 / self._one(self._liquid, "viscosity", pressure_Pa, enthalpy_J_kg)

    def liquid_temperature_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the temperature of liquid, [K]."""
        return self._one(self._liquid, "temperature_K", pressure_Pa, enthalpy_J_kg)

    def liquid_density_viscosity_ph(
        self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike
    ) -> tuple[FloatArray, FloatArray]:
        """Return density, [kg/m3], and viscosity, [Pa s], of liquid: cheaper together than one by one."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        region = self._liquid
        volume, fluidity = region.by_enthalpy(region.plan(("volume", "viscosity")), pressure, enthalpy)
        return (1.0 / volume).reshape(shape), (1.0 / fluidity).reshape(shape)

    # --- one phase, by temperature or entropy: a few Newton steps, then the direct way

    def vapour_pt(self, pressure_Pa: ArrayLike, temperature_K: ArrayLike) -> State:
        """Return vapour by pressure and temperature."""
        return self._by_other(self._vapour, "temperature_K", pressure_Pa, temperature_K)

    def vapour_ps(self, pressure_Pa: ArrayLike, entropy_J_kgK: ArrayLike) -> State:
        """Return vapour by pressure and specific entropy."""
        return self._by_other(self._vapour, "entropy_J_kgK", pressure_Pa, entropy_J_kgK)

    def liquid_pt(self, pressure_Pa: ArrayLike, temperature_K: ArrayLike) -> State:
        """Return liquid by pressure and temperature."""
        return self._by_other(self._liquid, "temperature_K", pressure_Pa, temperature_K)

    def liquid_ps(self, pressure_Pa: ArrayLike, entropy_J_kgK: ArrayLike) -> State:
        """Return liquid by pressure and specific entropy."""
        return self._by_other(self._liquid, "entropy_J_kgK", pressure_Pa, entropy_J_kgK)

    # --- between the phases

    def vapour_fraction_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the mass fraction of vapour in equilibrium, 0 for liquid and 1 for vapour."""
        return np.asarray(np.clip(self.vapour_fraction_unclamped_ph(pressure_Pa, enthalpy_J_kg), 0.0, 1.0))

    def vapour_fraction_unclamped_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return (h - h of bubble) / (h of dew - h of bubble): below 0 in liquid, above 1 in vapour."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        bubble = self._liquid.saturated(pressure, ("enthalpy_J_kg",))[0]
        dew = self._vapour.saturated(pressure, ("enthalpy_J_kg",))[0]
        return np.asarray(((enthalpy - bubble) / (dew - bubble)).reshape(shape))

    def two_phase_temperature_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        """Return the temperature of the boiling mixture, [K]; over a blend's glide straight from bubble to dew."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        fraction = self.vapour_fraction_ph(pressure, enthalpy)
        bubble, dew = self.bubble_temperature(pressure), self.dew_temperature(pressure)
        return (bubble + fraction * (dew - bubble)).reshape(shape)

    # --- what the table covers

    def inside_pressure(self, pressure_Pa: ArrayLike) -> NDArray[np.bool_]:
        """Return where a pressure lies between the dew pressures at the ends of the table."""
        pressure = np.asarray(pressure_Pa, dtype=np.float64)
        return np.asarray((pressure >= self.minimum_pressure_Pa) & (pressure <= self.maximum_pressure_Pa))

    def inside_vapour_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> NDArray[np.bool_]:
        """Return where a state is vapour of the table, dew line included."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        return self._vapour.inside(pressure, enthalpy).reshape(shape)

    def inside_liquid_ph(self, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> NDArray[np.bool_]:
        """Return where a state is liquid of the table, bubble line included."""
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        return self._liquid.inside(pressure, enthalpy).reshape(shape)

    def require_saturation_temperature(self, temperature_K: float, *, named: str) -> float:
        """Return an entered saturation temperature, or say why it cannot be used.

        Raises
        ------
        UserError
            PROP-02 above the critical temperature, PROP-03 elsewhere outside the table or not finite.
        """
        low, high = self.minimum_saturation_temperature_K, self.maximum_saturation_temperature_K
        critical = self.critical_temperature_K
        if isfinite(temperature_K) and low <= temperature_K <= high:
            return temperature_K
        if isfinite(temperature_K) and temperature_K >= critical:
            raise UserError(
                "PROP-02",
                what=f"{named} cannot be used with {self.name}.",
                why=f"It is {_celsius(temperature_K)}, at or above the critical temperature of {self.name}, "
                f"{_celsius(critical)}: there is no condensing up there, and only subcritical operation is calculated.",
                remedy=f"Enter at most {_celsius(high)}, or choose another refrigerant.",
            )
        close = f", {critical - high:.0f} K below the critical temperature" if critical - high < 5.0 else ""
        raise UserError(
            "PROP-03",
            what=f"{named} cannot be used with {self.name}.",
            why=f"It is {_celsius(temperature_K)}; the properties of {self.name} are tabulated for saturation from "
            f"{_celsius(low)} to {_celsius(high)}{close}.",
            remedy="Enter a temperature in that range.",
        )

    def require_vapour_temperature(self, pressure_Pa: float, temperature_K: float, *, named: str) -> float:
        """Return an entered vapour temperature, or say why it cannot be used at this pressure.

        Raises
        ------
        UserError
            PROP-04 below the dew point, or above what the table reaches.
        """
        dew = float(self.dew_temperature(pressure_Pa))
        if dew <= temperature_K <= dew + self.vapour_span_K:
            return temperature_K
        raise UserError(
            "PROP-04",
            what=f"{named} cannot be used with {self.name}.",
            why=f"It is {_celsius(temperature_K)}; vapour at {pressure_Pa / 1e5:.2f} bar absolute condenses at "
            f"{_celsius(dew)}, and its properties are tabulated up to {_celsius(dew + self.vapour_span_K)}.",
            remedy="Enter a temperature in that range.",
        )

    # --- how it is done

    def _on_line(self, region: Region, quantity: str, pressure_Pa: ArrayLike) -> FloatArray:
        (pressure,), shape = _flat(pressure_Pa)
        return region.saturated(pressure, (quantity,)).reshape(shape)

    def _one(self, region: Region, quantity: str, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> FloatArray:
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        return region.by_enthalpy(region.plan((quantity,)), pressure, enthalpy).reshape(shape)

    def _by_enthalpy(self, region: Region, pressure_Pa: ArrayLike, enthalpy_J_kg: ArrayLike) -> State:
        (pressure, enthalpy), shape = _flat(pressure_Pa, enthalpy_J_kg)
        rows = region.by_enthalpy(region.plan(QUANTITIES), pressure, enthalpy)
        return self._state(region, pressure, (*rows, enthalpy), shape)

    def _by_other(self, region: Region, quantity: str, pressure_Pa: ArrayLike, value: ArrayLike) -> State:
        (pressure, wanted), shape = _flat(pressure_Pa, value)
        return self._by_enthalpy(
            region, pressure.reshape(shape), region.enthalpy_where(quantity, pressure, wanted).reshape(shape)
        )

    def _state(
        self, region: Region, pressure: FloatArray, rows: FloatArray | tuple[FloatArray, ...], shape: tuple[int, ...]
    ) -> State:
        volume, temperature, entropy, viscosity, sound_speed, enthalpy = rows
        if region is self._vapour:
            density = _vapour_density(region, pressure, volume)
        else:
            density, viscosity = 1.0 / volume, 1.0 / viscosity
        return State(
            pressure_Pa=pressure.reshape(shape),
            temperature_K=temperature.reshape(shape),
            density_kg_m3=density.reshape(shape),
            enthalpy_J_kg=enthalpy.reshape(shape),
            entropy_J_kgK=entropy.reshape(shape),
            viscosity_Pa_s=viscosity.reshape(shape),
            sound_speed_m_s=sound_speed.reshape(shape),
        )


def _vapour_density(region: Region, pressure_Pa: FloatArray, pressure_over_density: FloatArray) -> FloatArray:
    """Return the density; a pressure outside the table still scales it, as in a gas, but never below the range."""
    return np.asarray(np.maximum(pressure_Pa, region.low_Pa) / pressure_over_density)


def _flat(*arguments: ArrayLike) -> tuple[list[FloatArray], tuple[int, ...]]:
    """Return the arguments broadcast together and flat, and their common shape."""
    arrays = [np.asarray(argument, dtype=np.float64) for argument in arguments]
    if len(arrays) > 1 and any(array.shape != arrays[0].shape for array in arrays[1:]):
        arrays = list(np.broadcast_arrays(*arrays))
    shape = arrays[0].shape
    return [array.reshape(-1) for array in arrays], shape


def _celsius(temperature_K: float) -> str:
    return f"{temperature_K - ZERO_CELSIUS_K:.1f} °C"
