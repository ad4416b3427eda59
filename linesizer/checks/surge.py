"""Surge before fast-closing valves: working pressure and surge together against the tube's rating."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView, gauge_figure
from linesizer.checks.making import by_rule
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.route import Service
from linesizer.solver.surge import return_time, surge_pressure, upstream_of_fast_valve
from linesizer.units import Kind, atmospheric_pressure_Pa

WORDS = (
    "When the fast valve behind leg {leg} ({size}) shuts within {time}, the liquid there rises by {surge} at "
    "{condition}, to {total}; the tube is rated {rating}. Slow the liquid with a larger tube, or use a valve that "
    "shuts slowly."
)


def surge(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each liquid line whose surge would bring a leg above its rating."""
    atmosphere = atmospheric_pressure_Pa(view.site.altitude_m)
    for line in view.lines:
        legs = line.legs
        if legs is None or line.line.service is not Service.LIQUID:
            continue
        fast = upstream_of_fast_valve(line.line)
        if not fast.any():
            continue
        state = view.table.liquid_ph(view.conditions.liquid_Pa, view.conditions.liquid_J_kg)
        rise = surge_pressure(legs.density_kg_m3, state.sound_speed_m_s, legs.velocity_m_s)
        # In a leg that falls the pressure is higher at its end.
        total = np.maximum(legs.inlet_Pa, legs.outlet_Pa) - atmosphere + rise
        rating = view.ratings[line.line.id]
        over = np.where(fast[:, None], total - rating[:, None], -np.inf)
        over = np.where(np.isfinite(over), over, -np.inf)
        leg, worst = (int(i) for i in np.unravel_index(int(over.argmax()), over.shape))
        if over[leg, worst] <= 0.0:
            continue
        time = float(return_time(float(legs.length_m[fast].sum()), state.sound_speed_m_s[worst]))
        yield by_rule(
            view,
            "surge_limit",
            code="surge_limit",
            title=f"{legs.ids[leg]}: surge above the rating",
            words=WORDS,
            line=line.line.id,
            leg=legs.ids[leg],
            condition=worst,
            kind=Kind.PRESSURE_DIFFERENCE,
            value=float(total[leg, worst]),
            limit=float(rating[leg]),
            size=legs.sizes[leg],
            time=f"{1000.0 * time:.0f} ms",
            surge=Figure(Kind.PRESSURE_DIFFERENCE, float(rise[leg, worst])),
            total=gauge_figure(float(total[leg, worst])),
            rating=gauge_figure(float(rating[leg])),
        )
