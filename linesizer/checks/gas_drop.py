"""Where a gas line's drop is beyond what hand methods and limits are made for: a tenth of its pressure, Mach 0.3."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.route import Service
from linesizer.units import ZERO_CELSIUS_K, Kind

FRACTION_WORDS = (
    "Discharge line {line} loses {drop} at {condition}, {value} of the pressure at its start. Beyond {limit} look "
    "twice at whether such a line is meant."
)
MACH_WORDS = (
    "The gas in leg {leg} ({size}) moves at {value} of the speed of sound at {condition}; beyond {limit} momentum "
    "and noise count. Choose a larger tube."
)


LEAST_SOUND_m_s = 50.0
"""No refrigerant's gas has a slower sound below its critical point (the tables: 95 m/s and more)."""


def gas_drop(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each discharge line that loses too much of its pressure, or runs too near to sound."""
    for line in view.lines:
        if line.flow is None or line.legs is None or line.line.service is not Service.DISCHARGE:
            continue
        fraction = line.flow.drop_Pa / line.flow.inlet_Pa
        limit = view.practice.value("vapour_drop_fraction")
        if np.isfinite(fraction).any() and np.nanmax(fraction) > limit:
            worst = int(np.nanargmax(fraction))
            yield by_rule(
                view,
                "vapour_drop_fraction",
                code="vapour_drop_fraction",
                title=f"{line.line.id}: a large part of the pressure is lost",
                words=FRACTION_WORDS,
                line=line.line.id,
                condition=worst,
                kind=Kind.FRACTION,
                value=float(fraction[worst]),
                limit=limit,
                drop=Figure(Kind.PRESSURE_DIFFERENCE, float(line.flow.drop_Pa[worst])),
            )
        legs = line.legs
        limit = view.practice.value("mach_limit")
        # Only what could come near is looked up: it is by far the most points of a circuit.
        fast = np.nan_to_num(legs.velocity_m_s) > limit * LEAST_SOUND_m_s
        if not fast.any():
            continue
        sound = view.table.vapour_pt(legs.outlet_Pa[fast], legs.end_C[fast] + ZERO_CELSIUS_K).sound_speed_m_s
        mach = np.full(legs.velocity_m_s.shape, np.nan)
        mach[fast] = legs.velocity_m_s[fast] / sound
        if np.isfinite(mach).any() and np.nanmax(mach) > limit:
            leg, worst = (int(i) for i in np.unravel_index(int(np.nanargmax(mach)), mach.shape))
            yield by_rule(
                view,
                "mach_limit",
                code="mach_limit",
                title=f"{legs.ids[leg]}: gas near the speed of sound",
                words=MACH_WORDS,
                line=line.line.id,
                leg=legs.ids[leg],
                condition=worst,
                kind=Kind.RATIO,
                value=float(mach[leg, worst]),
                limit=limit,
                size=legs.sizes[leg],
            )
