"""The refrigeration cycle: states at evaporator, compressor and condenser, and the flow that carries the load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.domain.circuit import Circuit, TemperatureBasis
from linesizer.domain.condition import Condition, SubcoolingAt
from linesizer.domain.equipment import ReceiverKind, Role
from linesizer.domain.geometry import line_geometry
from linesizer.domain.route import Service
from linesizer.errors import UserError
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.units import ZERO_CELSIUS_K

LEAST_EFFECT_J_kg = 1e-3
"""Net cooling of a kilogram below which there is none."""


@dataclass(frozen=True, slots=True)
class Operation:
    """What the conditions of a circuit fix before any line is known; every array has shape (conditions,).

    ``discharge_K`` is NaN where no discharge temperature is stated.  ``saturated`` marks the conditions whose liquid
    line starts saturated, behind a receiver that all liquid passes.
    """

    capacity_W: FloatArray
    evaporating_Pa: FloatArray
    condensing_Pa: FloatArray
    evaporator_outlet_J_kg: FloatArray
    suction_J_kg: FloatArray
    suction_J_kgK: FloatArray
    isentropic_efficiency: FloatArray
    discharge_K: FloatArray
    bypass: FloatArray
    drive_efficiency: FloatArray
    subcooling_K: FloatArray
    saturated: BoolArray

    def first(self, count: int) -> Operation:
        """Return the first of the conditions."""
        return Operation(*(getattr(self, name)[:count] for name in Operation.__slots__))

    def column(self) -> Operation:
        """Return the same with shape (conditions, 1), to broadcast against sizes."""
        return Operation(*(getattr(self, name)[:, None] for name in Operation.__slots__))


@dataclass(frozen=True, slots=True)
class LiquidState:
    """Liquid at the start of the liquid line: pressure [Pa], temperature [K], enthalpy [J/kg], shape (conditions,)."""

    pressure_Pa: FloatArray
    temperature_K: FloatArray
    enthalpy_J_kg: FloatArray


def operation(circuit: Circuit, table: RefrigerantTable) -> Operation:
    """Return the states that a circuit's conditions fix.

    Parameters
    ----------
    circuit : Circuit
        Its conditions, compressor and temperature basis are read.
    table : RefrigerantTable
        Properties of the circuit's refrigerant.

    Returns
    -------
    Operation
        Arrays of shape (conditions,).

    Raises
    ------
    UserError
        If a temperature lies outside the refrigerant's table.
    """
    conditions = circuit.conditions
    evaporating = np.array([_evaporating_C(c) for c in conditions]) + ZERO_CELSIUS_K
    condensing = np.array([c.condensing_C for c in conditions]) + ZERO_CELSIUS_K
    low, high = table.minimum_saturation_temperature_K, table.maximum_saturation_temperature_K
    outside = ~((low <= evaporating) & (evaporating <= high) & (low <= condensing) & (condensing <= high))
    for place in np.flatnonzero(outside):
        title = conditions[place].title
        table.require_saturation_temperature(evaporating[place], named=f"Evaporating temperature of condition {title}")
        table.require_saturation_temperature(condensing[place], named=f"Condensing temperature of condition {title}")
    midpoint = circuit.temperature_basis is TemperatureBasis.MIDPOINT
    evaporating_Pa = saturation_pressure(table, evaporating, midpoint=midpoint)
    condensing_Pa = saturation_pressure(table, condensing, midpoint=midpoint)
    dew_K = table.dew_temperature(evaporating_Pa)
    outlet_K = dew_K + _array(conditions, "superheat_K")
    suction_K = outlet_K + _array(conditions, "suction_heat_K")
    for place in np.flatnonzero(~((dew_K <= suction_K) & (suction_K <= dew_K + table.vapour_span_K))):
        named = f"Suction gas temperature (superheat and suction heat) of condition {conditions[place].title}"
        table.require_vapour_temperature(evaporating_Pa[place], suction_K[place], named=named)
    for condition, pressure in zip(conditions, condensing_Pa, strict=True):
        if condition.discharge_C is not None:
            named = f"Discharge temperature of condition {condition.title}"
            table.require_vapour_temperature(pressure, condition.discharge_C + ZERO_CELSIUS_K, named=named)
    outlet = table.vapour_pt(evaporating_Pa, outlet_K)
    suction = table.vapour_pt(evaporating_Pa, suction_K)
    through = has_receiver_before_liquid(circuit)
    return Operation(
        capacity_W=_array(conditions, "capacity_W"),
        evaporating_Pa=evaporating_Pa,
        condensing_Pa=condensing_Pa,
        evaporator_outlet_J_kg=outlet.enthalpy_J_kg,
        suction_J_kg=suction.enthalpy_J_kg,
        suction_J_kgK=suction.entropy_J_kgK,
        isentropic_efficiency=np.array(
            [
                circuit.compressor.isentropic_efficiency if c.isentropic_efficiency is None else c.isentropic_efficiency
                for c in conditions
            ]
        ),
        discharge_K=np.array([np.nan if c.discharge_C is None else c.discharge_C + ZERO_CELSIUS_K for c in conditions]),
        bypass=_array(conditions, "bypass"),
        drive_efficiency=np.full(len(conditions), circuit.compressor.drive_efficiency),
        subcooling_K=_array(conditions, "subcooling_K"),
        saturated=np.array([through and c.subcooling_at is SubcoolingAt.CONDENSER for c in conditions]),
    )


def has_receiver_before_liquid(circuit: Circuit) -> bool:
    """Whether all liquid passes a receiver before its line; one that a liquid line ends in stands behind it."""
    behind = {
        end.equipment
        for line in circuit.lines
        if line.service is Service.LIQUID
        for end in line.ends
        if end.node in line_geometry(line).sinks
    }
    return any(
        e.role is Role.RECEIVER and e.kind is not ReceiverKind.SURGE and e.id not in behind for e in circuit.equipment
    )


def saturation_pressure(table: RefrigerantTable, temperature_K: FloatArray, *, midpoint: bool) -> FloatArray:
    """Return the pressure of a stated saturation temperature.

    Parameters
    ----------
    table : RefrigerantTable
        Properties.
    temperature_K : ndarray, shape S
        Stated saturation temperature, [K].
    midpoint : bool
        False: it is the dew temperature.  True: the mean of bubble and dew temperature at one pressure.

    Returns
    -------
    ndarray, shape S
        Pressure, [Pa].
    """
    pressure = table.dew_pressure(temperature_K)
    if not midpoint:
        return pressure
    target = np.array(temperature_K, dtype=np.float64)
    dew = target.copy()
    for _ in range(20):
        pressure = table.dew_pressure(dew)
        error = target - 0.5 * (dew + table.bubble_temperature(pressure))
        dew = dew + error
        if np.abs(error).max(initial=0.0) < 1e-9:
            break
    return pressure


def discharge_enthalpy(given: Operation, table: RefrigerantTable, discharge_Pa: FloatArray) -> FloatArray:
    r"""Return the enthalpy of the gas that leaves the compressor against a pressure.

    .. math:: h_2 = h_1 + \frac{h_{2s}(p, s_1) - h_1}{\eta}

    or that at the stated discharge temperature.

    Parameters
    ----------
    given : Operation
        Suction state, efficiency, stated temperature; shape S.
    table : RefrigerantTable
        Properties.
    discharge_Pa : ndarray, shape S
        Pressure at the compressor's outlet, [Pa].

    Returns
    -------
    ndarray, shape S
        Specific enthalpy, [J/kg].
    """
    stated = np.isfinite(given.discharge_K)
    if stated.all():
        return table.vapour_pt(discharge_Pa, np.broadcast_to(given.discharge_K, discharge_Pa.shape)).enthalpy_J_kg
    ideal = table.vapour_ps(discharge_Pa, np.broadcast_to(given.suction_J_kgK, discharge_Pa.shape)).enthalpy_J_kg
    enthalpy = given.suction_J_kg + (ideal - given.suction_J_kg) / given.isentropic_efficiency
    if stated.any():
        entered = np.where(stated, given.discharge_K, table.dew_temperature(discharge_Pa) + 1.0)
        enthalpy = np.where(stated, table.vapour_pt(discharge_Pa, entered).enthalpy_J_kg, enthalpy)
    return np.asarray(enthalpy)


def liquid_start(given: Operation, table: RefrigerantTable, condenser_drop_Pa: FloatArray) -> LiquidState:
    """Return the liquid's state at the start of the liquid line.

    The pressure is the condensing pressure less the condenser's own drop; the temperature is the bubble temperature
    there less the stated subcooling, or the bubble temperature itself behind a receiver that all liquid passes.
    """
    pressure = given.condensing_Pa - condenser_drop_Pa
    subcooling = np.where(given.saturated, 0.0, given.subcooling_K)
    temperature = table.bubble_temperature(pressure) - subcooling
    return LiquidState(pressure, temperature, table.liquid_pt(pressure, temperature).enthalpy_J_kg)


def line_flow(given: Operation, discharge_J_kg: FloatArray, liquid_J_kg: FloatArray) -> tuple[FloatArray, FloatArray]:
    r"""Return the mass flow through condenser and lines, and that through the compressor.

    Without bypass :math:`\dot m = Q / (h_1 - h_3)`.  With the fraction b of the compressor's flow returned as hot gas,
    :math:`\dot m_{line} = Q / [(h_2 - h_3) - (h_2 - h_1)/(1 - b)]` and :math:`\dot m_{comp} = \dot m_{line} / (1 -
    b)`; h1 is the evaporator's outlet, so that heat picked up in the suction line does no cooling.

    Parameters
    ----------
    given : Operation
        Load, evaporator outlet and bypass; shape S.
    discharge_J_kg, liquid_J_kg : ndarray, shape S
        Enthalpy of the discharge gas and of the liquid that enters the expansion valve, [J/kg].

    Returns
    -------
    tuple of ndarray, shape S
        Mass flow in the lines and in the compressor, [kg/s].

    Notes
    -----
    A line whose drop heats the gas so far that it takes all the cooling gets a flow that no tube passes, so that the
    march reports it like any other flow that does not pass.
    """
    rest = 1.0 - given.bypass
    effect = (discharge_J_kg - liquid_J_kg) - (discharge_J_kg - given.evaporator_outlet_J_kg) / rest
    line = given.capacity_W / np.maximum(effect, LEAST_EFFECT_J_kg)
    return np.asarray(line), np.asarray(line / rest)


def refuse_states_outside_table(circuit: Circuit, given: Operation, table: RefrigerantTable) -> None:
    """Raise a UserError that names the first condition whose gas or liquid lies outside the property table."""
    discharge = discharge_enthalpy(given, table, given.condensing_Pa)
    liquid = liquid_start(given, table, np.zeros_like(given.condensing_Pa))
    hottest_K = table.dew_temperature(given.condensing_Pa) + table.vapour_span_K
    too_hot = discharge > table.vapour_pt(given.condensing_Pa, hottest_K).enthalpy_J_kg
    # Liquid at its bubble point may miss the table's edge by a rounding.
    too_cold = (given.subcooling_K > 1.0) & ~given.saturated
    too_cold &= ~table.inside_liquid_ph(liquid.pressure_Pa, liquid.enthalpy_J_kg)
    for index, condition in enumerate(circuit.conditions):
        if too_hot[index]:
            raise UserError(
                "CYCLE-03",
                what=f"Condition {condition.title} of {circuit.title} has discharge gas too hot to be calculated.",
                why=f"With an isentropic efficiency of {given.isentropic_efficiency[index]:.2f} it is above "
                f"{hottest_K[index] - ZERO_CELSIUS_K:.0f} °C, to which the properties of {table.name} are tabulated.",
                remedy="Check efficiency, superheat and evaporating temperature, or enter the discharge temperature.",
            )
        if too_cold[index]:
            raise UserError(
                "CYCLE-04",
                what=f"Condition {condition.title} of {circuit.title} has liquid too cold to be calculated.",
                why=f"With {given.subcooling_K[index]:.1f} K of subcooling it lies outside the tabulated properties of "
                f"{table.name}.",
                remedy="Enter less subcooling.",
            )


def refuse_impossible_bypass(circuit: Circuit, given: Operation, table: RefrigerantTable) -> None:
    """Raise a UserError that names the first condition whose hot-gas bypass leaves no net cooling."""
    liquid = liquid_start(given, table, np.zeros_like(given.condensing_Pa)).enthalpy_J_kg
    cooling = given.evaporator_outlet_J_kg - liquid
    if not given.bypass.any() and (cooling > 0.0).all():
        return
    discharge = discharge_enthalpy(given, table, given.condensing_Pa)
    most = (cooling) / (discharge - liquid)
    for condition, bypass, limit in zip(circuit.conditions, given.bypass, most, strict=True):
        if bypass >= limit:
            raise UserError(
                "CYCLE-01",
                what=f"Condition {condition.title} of {circuit.title} has no net cooling.",
                why=(
                    f"Its bypass is {bypass:.3f}; at its temperatures the hot gas takes all the cooling from "
                    f"{limit:.3f} on."
                ),
                remedy="Lower the bypass.",
            )


def _evaporating_C(condition: Condition) -> float:
    if condition.evaporating_C is not None:
        return condition.evaporating_C
    if condition.leaving_fluid_C is None or condition.approach_K is None:
        raise UserError(
            "CYCLE-02",
            what=f"Condition {condition.title} has no evaporating temperature.",
            why="Neither an evaporating temperature nor a leaving fluid temperature with its approach is given.",
            remedy="Enter the evaporating temperature, or the leaving fluid temperature and the approach.",
        )
    return condition.leaving_fluid_C - condition.approach_K


def _array(conditions: tuple[Condition, ...], name: str) -> FloatArray:
    return np.array([getattr(condition, name) for condition in conditions], dtype=np.float64)
