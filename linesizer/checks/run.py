"""All rules of a circuit, heaviest findings first."""

from __future__ import annotations

from linesizer.checks.assumed_losses import assumed_losses, condenser_drop
from linesizer.checks.charge_data import charge_data, flooding_data, named_condition
from linesizer.checks.charge_rules import charge_rules
from linesizer.checks.cold_start import cold_start
from linesizer.checks.context import CircuitView
from linesizer.checks.drain import drain
from linesizer.checks.flip import with_flip
from linesizer.checks.gas_drop import gas_drop
from linesizer.checks.growth import growth
from linesizer.checks.length_limits import length_limits
from linesizer.checks.line_heat import line_heat
from linesizer.checks.liquid_margin import liquid_margin
from linesizer.checks.material import connections, material
from linesizer.checks.migration import migration
from linesizer.checks.not_calculated import not_calculated
from linesizer.checks.oil_charge import oil_charge
from linesizer.checks.oil_return import oil_return
from linesizer.checks.open_sizes import open_sizes
from linesizer.checks.own_blend import own_blend
from linesizer.checks.parallel_condensers import parallel_condensers
from linesizer.checks.passes_flow import passes_flow
from linesizer.checks.penalty import penalty
from linesizer.checks.pressures import cutout_margin, discharge_temperature, flooded_circuit_drop, valve_pressure
from linesizer.checks.rating import rating
from linesizer.checks.receiver import receiver
from linesizer.checks.riser_advice import riser_advice
from linesizer.checks.room_concentration import room_concentration
from linesizer.checks.slopes import slopes
from linesizer.checks.supports import support_count
from linesizer.checks.surge import surge
from linesizer.checks.trapped_liquid import trapped_liquid
from linesizer.checks.velocity import velocity
from linesizer.domain.finding import Finding

RULES = (
    own_blend,
    open_sizes,
    passes_flow,
    liquid_margin,
    oil_return,
    penalty,
    rating,
    surge,
    gas_drop,
    velocity,
    line_heat,
    discharge_temperature,
    cutout_margin,
    valve_pressure,
    parallel_condensers,
    flooded_circuit_drop,
    cold_start,
    trapped_liquid,
    drain,
    slopes,
    riser_advice,
    migration,
    length_limits,
    material,
    connections,
    growth,
    flooding_data,
    receiver,
    named_condition,
    oil_charge,
    support_count,
    assumed_losses,
    condenser_drop,
    room_concentration,
    charge_rules,
)


def findings(view: CircuitView) -> tuple[Finding, ...]:
    """Return a circuit's findings, stops first, in the order of the rules within a level."""
    found = [
        *not_calculated(view.circuit),
        *(with_flip(view, item) for rule in RULES for item in rule(view)),
        *charge_data(view.circuit),
    ]
    return tuple(sorted(found, key=lambda finding: -finding.level.weight))
