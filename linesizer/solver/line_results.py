"""A solved line as results: what each leg and the line as a whole show at every condition."""

from __future__ import annotations

import numpy as np

from linesizer.domain.geometry import line_geometry
from linesizer.domain.result import LegResult, LineFlow
from linesizer.domain.route import Line, Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import BoolArray, FloatArray
from linesizer.solver.charge import tube_volume
from linesizer.solver.cycle import Operation
from linesizer.solver.hot_side import HotSide
from linesizer.solver.line import LineState, Run, oil_return_ratio, solve_line
from linesizer.solver.march import Known
from linesizer.solver.penalty import saturation_fall
from linesizer.solver.phase import Phase, liquid, vapour
from linesizer.solver.route_losses import LineTubes
from linesizer.units import ZERO_CELSIUS_K


def line_state(
    line: Line,
    run: Run,
    tubes: LineTubes,
    given: Operation,
    table: RefrigerantTable,
    own: HotSide | None,
    governing: HotSide,
) -> tuple[LineState, FloatArray, Phase]:
    """Return a line's state, the enthalpy along it and its phase: a discharge line as solved with the compressor."""
    if own is not None and own.line is not None:
        return own.line, own.discharge_J_kg, vapour(table)
    phase = liquid(table)
    enthalpy = governing.liquid.enthalpy_J_kg
    state = solve_line(
        run,
        phase,
        bore=tubes.bore_m[:, None],
        roughness=tubes.roughness_m[:, None],
        mass_flow=governing.line_flow,
        enthalpy=enthalpy,
        known_pressure=governing.liquid.pressure_Pa,
        known=Known.START,
    )
    return state, enthalpy, phase


def leg_results(
    line: Line, tubes: LineTubes, run: Run, state: LineState, climbs: BoolArray, film_density: float
) -> LegResult:
    """Return what each leg shows; figures of conditions whose flow does not pass are NaN."""
    geometry = line_geometry(line)
    blank = np.where(state.settled, 0.0, np.nan)
    bore = tubes.bore_m
    volume = tube_volume(bore, run.length_m)
    ratio = np.full(state.reynolds.shape, np.nan)
    ratio[climbs] = oil_return_ratio(state, climbs, bore[:, None], np.asarray(film_density))
    velocity = state.velocity_m_s + blank
    return LegResult(
        ids=tuple(leg.leg.id for leg in geometry.legs),
        sizes=tuple(size.size for size in tubes.sizes),
        inner_diameter_m=bore,
        length_m=run.length_m,
        volume_m3=volume,
        climbs=climbs,
        inlet_Pa=state.pressure_Pa[:-1] + blank,
        outlet_Pa=state.pressure_Pa[1:] + blank,
        velocity_m_s=velocity,
        reynolds=state.reynolds + blank,
        friction_factor=state.friction_factor + blank,
        viscosity_Pa_s=state.viscosity_Pa_s + blank,
        density_kg_m3=state.mean_density + blank,
        fitting_length_m=state.fitting_coefficient * bore[:, None] / state.friction_factor + blank,
        friction_Pa=state.terms.friction_Pa + blank,
        fittings_Pa=state.terms.fittings_Pa + blank,
        parts_Pa=state.terms.parts_Pa + blank,
        acceleration_Pa=state.terms.acceleration_Pa + blank,
        static_Pa=state.terms.static_Pa + blank,
        oil_return_ratio=ratio + blank,
        minimum_velocity_m_s=velocity / ratio,
        charge_kg=volume[:, None] * state.mean_density + blank,
    )


def flow_results(
    line: Line, state: LineState, enthalpy: FloatArray, phase: Phase, table: RefrigerantTable, legs: LegResult
) -> LineFlow:
    """Return what the line as a whole shows; figures of conditions whose flow does not pass are NaN."""
    blank = np.where(state.settled, 0.0, np.nan)
    inlet, outlet = state.pressure_Pa[0], state.pressure_Pa[-1]
    drop = inlet - outlet
    static, parts = legs.static_Pa.sum(axis=0), legs.parts_Pa.sum(axis=0)
    outlet_K = phase.temperature(outlet, enthalpy)
    subcooling = fraction = np.full(inlet.shape, np.nan)
    if line.service is Service.LIQUID:
        subcooling = phase.saturation_temperature(outlet) - outlet_K
        boils = subcooling < 0.0
        fraction = np.where(boils, table.vapour_fraction_ph(outlet, enthalpy), 0.0) + blank
        outlet_K = np.where(boils, table.two_phase_temperature_ph(outlet, enthalpy), outlet_K)
    return LineFlow(
        passes_flow=state.settled,
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
    )
