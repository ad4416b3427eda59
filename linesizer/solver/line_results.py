"""A solved line as results: what each leg and the line as a whole show at every condition."""

from __future__ import annotations

import numpy as np

from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import ConditionResult, LegResult, LineFlow
from linesizer.domain.route import Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.charge import tube_volume
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.double_riser_results import double_riser_results
from linesizer.solver.line import oil_return_by_leg
from linesizer.solver.line_at_work import LineAtWork
from linesizer.solver.liquid_budget import liquid_budget
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.turning import turns_at_m
from linesizer.solver.two_phase import boiling_outlet
from linesizer.units import ZERO_CELSIUS_K


def condition_results(flow: CircuitFlow, table: RefrigerantTable) -> ConditionResult:
    """Return the cycle at the stated conditions."""
    count = len(flow.circuit.conditions)
    hot, given = flow.hot, flow.given
    blank = np.where(hot.passes, 0.0, np.nan)
    discharge_J_kg = hot.discharge_J_kg + blank
    shaft = hot.compressor_flow * (discharge_J_kg - given.suction_J_kg)
    columns = {
        "mass_flow_kg_s": hot.line_flow,
        "compressor_flow_kg_s": hot.compressor_flow,
        "discharge_C": table.vapour_temperature_ph(hot.discharge_Pa, hot.discharge_J_kg) - ZERO_CELSIUS_K + blank,
        "discharge_Pa": hot.discharge_Pa + blank,
        "discharge_J_kg": discharge_J_kg,
        "evaporating_Pa": given.evaporating_Pa,
        "condensing_Pa": given.condensing_Pa,
        "liquid_Pa": hot.liquid.pressure_Pa,
        "liquid_C": hot.liquid.temperature_K - ZERO_CELSIUS_K,
        "liquid_J_kg": hot.liquid.enthalpy_J_kg,
        "compressor_W": shaft,
        "electric_W": shaft / given.drive_efficiency,
        "heat_rejection_W": hot.line_flow * (_condenser_inlet(flow) + blank - hot.liquid.enthalpy_J_kg),
    }
    return ConditionResult(**{name: np.asarray(values[:count]) for name, values in columns.items()})


def _condenser_inlet(flow: CircuitFlow) -> FloatArray:
    """Return the enthalpy of the gas that reaches the condenser: less than the compressor's by what the line loses."""
    if not flow.circuit.heat_exchange:
        return flow.hot.discharge_J_kg
    whole = [
        work.state
        for work in flow.lines.values()
        if work.line.service is Service.DISCHARGE and work.state is not None and work.path is None
    ]
    lost = [state.enthalpy_J_kg[0] - state.enthalpy_J_kg[-1] for state in whole]
    if flow.parallel is not None and (shared := flow.parallel.gas_lost_J_kg) is not None:
        lost.append(shared)
    return np.asarray(flow.hot.discharge_J_kg - np.max(lost, axis=0)) if lost else flow.hot.discharge_J_kg


def leg_results(work: LineAtWork, flow: CircuitFlow) -> LegResult:
    """Return what each leg shows; figures of conditions whose flow does not pass are NaN.

    Parameters
    ----------
    work : LineAtWork
        A solved line.
    flow : CircuitFlow
        The circuit; the conditions behind its own are corners of the load grid.
    """
    count, film_density = len(flow.circuit.conditions), flow.film_density
    state, tubes, run = work.state, work.tubes, work.run
    if state is None or tubes is None:
        raise ValueError("the line is not solved")
    geometry = line_geometry(work.line)
    blank = np.where(state.settled, 0.0, np.nan)
    bore = tubes.bore_m
    volume = tube_volume(bore, run.length_m)
    ratio = oil_return_by_leg(state, run, work.climbs, bore[:, None], film_density)
    fitting_length = state.fitting_coefficient * bore[:, None] / state.friction_factor
    if run.twins is not None:
        # Two tubes have no one bore; the length that costs what their bends cost is known from the drops.
        place = run.twins.leg
        fitting_length = fitting_length.copy()
        fitting_length[place] = (
            run.length_m[place, None] * state.terms.fittings_Pa[place] / state.terms.friction_Pa[place]
        )
    ratio = ratio + blank
    velocity = state.velocity_m_s + blank
    temperature = work.phase.temperature(state.pressure_Pa, state.enthalpy_J_kg)
    saturation = work.phase.saturation_temperature(state.pressure_Pa)
    gas = work.phase.name == "vapour"
    margin = temperature - saturation if gas else saturation - temperature
    # Once it has turned, the refrigerant stays at its saturation temperature.
    temperature = np.maximum(temperature, saturation) if gas else np.minimum(temperature, saturation)
    around = None if work.built is None else work.built.surroundings
    warmest = np.maximum(temperature[:-1], temperature[1:])
    surface = warmest if around is None else around.surface_K(warmest)

    def own(values: FloatArray) -> FloatArray:
        return np.asarray(values[:, :count])

    return LegResult(
        ids=tuple(leg.leg.id for leg in geometry.legs),
        sizes=tubes.names,
        inner_diameter_m=bore,
        length_m=run.length_m,
        volume_m3=volume,
        climbs=work.climbs,
        inlet_Pa=own(state.pressure_Pa[:-1] + blank),
        outlet_Pa=own(state.pressure_Pa[1:] + blank),
        velocity_m_s=own(velocity),
        reynolds=own(state.reynolds + blank),
        friction_factor=own(state.friction_factor + blank),
        viscosity_Pa_s=own(state.viscosity_Pa_s + blank),
        density_kg_m3=own(state.mean_density + blank),
        fitting_length_m=own(fitting_length + blank),
        friction_Pa=own(state.terms.friction_Pa + blank),
        fittings_Pa=own(state.terms.fittings_Pa + blank),
        parts_Pa=own(state.terms.parts_Pa + blank),
        acceleration_Pa=own(state.terms.acceleration_Pa + blank),
        static_Pa=own(state.terms.static_Pa + blank),
        oil_return_ratio=own(ratio),
        minimum_velocity_m_s=own(velocity / ratio),
        charge_kg=own(volume[:, None] * state.mean_density + blank),
        start_C=own(temperature[:-1] - ZERO_CELSIUS_K + blank),
        end_C=own(temperature[1:] - ZERO_CELSIUS_K + blank),
        surface_C=own(surface - ZERO_CELSIUS_K + blank),
        start_margin_K=own(margin[:-1] + blank),
        end_margin_K=own(margin[1:] + blank),
        corner_ratio=np.asarray(ratio[:, count:]),
        corner_velocity_m_s=np.asarray(velocity[:, count:]),
        double_risers=double_riser_results(work, flow.hot.line_flow, flow.given.capacity_W, film_density, count),
    )


def flow_results(work: LineAtWork, legs: LegResult, flow: CircuitFlow, table: RefrigerantTable) -> LineFlow:
    """Return what the line as a whole shows; figures of conditions whose flow does not pass are NaN."""
    state, count = work.state, len(flow.circuit.conditions)
    if state is None:
        raise ValueError("the line is not solved")
    phase, run = work.phase, work.run
    blank = np.where(state.settled, 0.0, np.nan)[:count]
    pressure, enthalpy = state.pressure_Pa[:, :count], state.enthalpy_J_kg[:, :count]
    mass_flow = run.flows(flow.hot.line_flow)[..., :count]
    inlet, outlet = pressure[0], pressure[-1]
    drop = inlet - outlet
    static, parts = legs.static_Pa.sum(axis=0), legs.parts_Pa.sum(axis=0)
    outlet_K = phase.temperature(outlet, enthalpy[-1])
    margin = np.concatenate([legs.start_margin_K, legs.end_margin_K[-1:]])
    none = np.full(inlet.shape, np.nan)
    subcooling = fraction = boiled_Pa = boiled_x = none
    budget = None
    if work.phase.name == "liquid":
        subcooling = phase.saturation_temperature(outlet) - outlet_K
        boils = subcooling < 0.0
        fraction = np.where(boils, table.vapour_fraction_ph(outlet, enthalpy[-1]), 0.0) + blank
        outlet_K = np.where(boils, table.two_phase_temperature_ph(outlet, enthalpy[-1]), outlet_K)
        budget = liquid_budget(phase, pressure, enthalpy, legs)
        if boils.any() and work.tubes is not None:
            boiled_Pa, boiled_x = boiling_outlet(
                table,
                pressure_Pa=inlet,
                enthalpy_J_kg=enthalpy,
                single_drop_Pa=pressure[:-1] - pressure[1:],
                static_Pa=state.terms.static_Pa[:, :count],
                length_m=run.length_m,
                rise_m=run.rise_m,
                bore_m=work.tubes.bore_m,
                roughness_m=work.tubes.roughness_m,
                mass_flow=mass_flow,
            )
            boiled_Pa, boiled_x = np.where(boils, boiled_Pa, np.nan), np.where(boils, boiled_x, np.nan)
    else:
        outlet_K = np.maximum(outlet_K, phase.saturation_temperature(outlet))
    return LineFlow(
        passes_flow=state.settled[:count],
        drop_Pa=drop + blank,
        friction_Pa=legs.friction_Pa.sum(axis=0),
        fittings_Pa=legs.fittings_Pa.sum(axis=0),
        parts_Pa=parts,
        acceleration_Pa=legs.acceleration_Pa.sum(axis=0),
        static_Pa=static,
        saturation_penalty_K=saturation_fall(phase.saturation_temperature, inlet, drop - static),
        tube_penalty_K=saturation_fall(phase.saturation_temperature, inlet, drop - static - parts),
        saturation_change_K=saturation_fall(phase.saturation_temperature, inlet, drop) + blank,
        inlet_Pa=inlet + blank,
        outlet_Pa=outlet + blank,
        outlet_C=outlet_K - ZERO_CELSIUS_K + blank,
        outlet_subcooling_K=subcooling + blank,
        outlet_vapour_fraction=fraction,
        charge_kg=legs.charge_kg.sum(axis=0),
        heat_W=(mass_flow * (enthalpy[:-1] - enthalpy[1:])).sum(axis=0) + blank,
        turns_at_m=turns_at_m(phase, state, margin, run.length_m),
        indicative_outlet_Pa=boiled_Pa + blank,
        indicative_vapour_fraction=boiled_x + blank,
        budget=budget,
    )
