r"""Winter flooding and what the receiver makes of it, worked by hand.

The area balance (ASHRAE Handbook - Refrigeration, head pressure control by flooding: principle from memory, form of the
project's engineering basis): active part :math:`a = \Delta T_{design} (Q / Q_{design}) / (T_c - T_{ambient})`.

At 32 C in air of -20 C, design difference 15 K: full rejection a = 15 / 52 = 0.2885, 71.2 % flooded; a quarter
a = 3.75 / 52 = 0.0721, 92.8 % flooded (both printed in the engineering basis).  The practice set's own pair, 83.3 and
95.8 %, is a = 1/6 and 1/24: a design difference of 10 K where 60 K lie between refrigerant and air (derived).

The charge, R134a, saturated densities in kg/m3 (CoolProp, read): liquid 1179.6 at 32 C, 1274.7 at 6 C, the mean of 32
and -20, and 1102.3 at 50 C; vapour 39.80 at 32 C and 66.27 at 50 C.  Condenser 28 L, liquid fraction 0.2;
receiver 40 L, operating fill 0.2; unit 6 kg; no lines.

    active part      0.2 x 1179.6 + 0.8 x 39.80                 = 267.8 kg/m3
    condenser        0.028 x 267.8                              =  7.50 kg
    receiver         0.040 x 267.8                              = 10.71 kg
    nothing flooded  6 + 7.50 + 10.71                           = 24.21 kg
    flooded, full    0.7115 x 0.028 x (1274.7 - 267.8)          = 20.06 kg, in all 44.27 kg
    flooded, quarter 0.9279 x 0.028 x (1274.7 - 267.8)          = 26.16 kg, in all 50.37 kg: this governs

Summer at 50 C and 35 C, nothing flooded:

    active part      0.2 x 1102.3 + 0.8 x 66.27                 = 273.5 kg/m3
    needed           6 + 0.028 x 273.5 + 0.040 x 273.5          = 24.60 kg
    left over        50.37 - 24.60                              = 25.77 kg
    receiver         0.2 + 25.77 / (0.040 x (1102.3 - 66.27))   = 82.2 %: above the 80 % of practice
    full in winter   0.2 + (50.37 - 44.27) / (0.040 x 1139.8)   = 33.4 %
    pumped down      (50.37 / 0.040 - 39.80) / 1139.8, at 32 C  = 107.0 %: it does not fit
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Level
from linesizer.domain.job import Job, Site
from linesizer.evaluate import solve
from linesizer.solver.flooding import active_fraction
from tests.checks.judged import findings
from tests.solver.circuits import condenser, receiver
from tests.solver.routes import condition, job

# Half a unit of the last digit that the arithmetic above carries.
KG = 0.005
FILL = 0.0005


@pytest.mark.parametrize(
    ("design_td_K", "rejection", "condensing_C", "ambient_C", "flooded_percent"),
    [
        (15.0, 1.0, 32.0, -20.0, 71.2),
        (15.0, 0.25, 32.0, -20.0, 92.8),
        (10.0, 1.0, 32.0, -28.0, 83.3),
        (10.0, 0.25, 32.0, -28.0, 95.8),
    ],
)
def test_the_printed_figures(
    design_td_K: float, rejection: float, condensing_C: float, ambient_C: float, flooded_percent: float
) -> None:
    flooded = 1.0 - float(active_fraction(design_td_K, rejection, condensing_C, ambient_C))
    assert 100.0 * flooded == pytest.approx(flooded_percent, abs=0.05)


def worked(receiver_m3: float = 0.040) -> Job:
    """Return the job of the docstring; summer is a lesser load, so that full winter load rejects most."""
    conditions = (
        condition("summer", capacity_W=80e3, condensing_C=50.0, ambient_C=35.0),
        condition("winter", capacity_W=100e3, condensing_C=32.0, ambient_C=-20.0),
        condition("quarter", capacity_W=25e3, condensing_C=32.0, ambient_C=-20.0),
    )
    equipment = (
        Equipment("unit", Role.UNIT, operating_kg=6.0),
        condenser(volume_m3=0.028, mean_liquid_fraction=0.2, design_td_K=15.0),
        receiver(volume_m3=receiver_m3, operating_fill=0.2, name="Vessel"),
    )
    control = HeadPressureControl(HeadPressureControlKind.FLOODING, minimum_condensing_C=32.0)
    made = job(conditions=conditions, equipment=equipment, head_pressure_control=control)
    return replace(made, site=Site(winter_ambient_C=-20.0))


def test_the_charge_at_full_and_quarter_rejection() -> None:
    charge = solve(worked()).circuits[0].charge
    assert charge.flooding is not None
    (flooded,) = charge.flooding.condensers
    np.testing.assert_allclose(1.0 - flooded.active, [0.0, 0.7115, 0.9279], atol=0.00005)
    np.testing.assert_allclose(charge.by_condition.flooding_kg, [0.0, 20.06, 26.16], atol=KG)
    np.testing.assert_allclose(charge.by_condition.total_kg, [24.60, 44.27, 50.37], atol=KG)
    assert charge.condition == "quarter"
    assert charge.equipment_kg == pytest.approx(24.21, abs=KG)
    assert charge.flooding_kg == pytest.approx(26.16, abs=KG)
    assert charge.total_kg == charge.to_add_kg == pytest.approx(50.37, abs=KG)


def test_the_levels_of_the_receiver() -> None:
    (level,) = solve(worked()).circuits[0].charge.receivers
    assert level.summer == pytest.approx(0.822, abs=FILL)
    assert level.running is not None
    np.testing.assert_allclose(level.running, [0.822, 0.334, 0.200], atol=FILL)
    assert level.pumped_down == pytest.approx(1.070, abs=FILL)


def test_the_receiver_fails_and_a_larger_one_does_not() -> None:
    """With 64 L the summer level is 0.2 + 25.6 / (0.064 x 1036) = 58.7 %, and pumped down 56.8 kg are 74 %."""
    pumped, summer = findings(worked(), "receiver_pumpdown", "receiver_summer")
    assert (pumped.level, summer.level) == (Level.STOP, Level.WARN)
    assert "107 % full" in pumped.message()
    assert "82 % full" in summer.message()
    assert summer.condition == "summer"
    assert "drained" in summer.message()
    assert findings(worked(receiver_m3=0.064), "receiver_pumpdown", "receiver_summer", "receiver_low") == ()
    pumped, summer = findings(worked(receiver_m3=0.030), "receiver_pumpdown", "receiver_summer")
    # 0.2 + 25.8 / (0.030 x 1036) = 1.03: more than full.
    assert summer.level is Level.STOP
    assert "103 % full" in summer.message()
    assert "backs up" in summer.message()
