r"""The charge of a whole circuit by hand: lines, equipment, flooding at full and at a quarter, a receiver that fails.

R134a; densities in kg/m3 by CoolProp (read).  Saturated liquid and vapour at 32 C (815.4 kPa): 1179.57 and 39.80; at
50 C (1317.9 kPa): 1102.31 and 66.27.  Gas at 60 C and 815.4 kPa 34.10, at 70 C and 1317.9 kPa 57.63.  Liquid 6 K colder
than its bubble point: 1203.72 at 26 C and 815.4 kPa, 1131.20 at 44 C and 1317.9 kPa.  Flooding liquid, at 6 C, the mean
of 32 C and -20 C: 1274.68.

    discharge line   10 m of 2-5/8, bore 62.611 mm: 30.789 L; x 57.63 = 1.774 kg summer, x 34.10 = 1.050 kg winter
    liquid line      20 m of 1-1/8, bore 26.035 mm: 10.647 L; x 1131.20 = 12.044 kg, x 1203.72 = 12.816 kg
    lines            13.818 kg in summer, 13.866 kg in winter
    vessels          a fifth liquid: 0.2 x 1179.57 + 0.8 x 39.80 = 267.75 kg/m3 in winter, 273.48 in summer
    unit, condenser, receiver of 60 L
                     6 + 0.028 x 267.75 + 0.060 x 267.75 = 29.562 kg in winter, 30.066 kg in summer
    flooded          difference 15 K at design, 52 K in winter: active 15 / 52 at full rejection, a quarter of it at a
                     quarter; (1 - a) x 0.028 x (1274.68 - 267.75) = 28.194 (1 - a) = 20.061 kg and 26.161 kg

    summer           13.818 + 30.066          = 43.884 kg
    winter, full     13.866 + 29.562 + 20.061 = 63.489 kg
    winter, quarter  13.866 + 29.562 + 26.161 = 69.589 kg: this governs; less 1.5 kg that the unit holds, 68.089 to add

    receiver, summer 0.2 + (69.589 - 43.884) / (0.060 x 1036.04) = 61.4 %, under the 80 % of practice
    full in winter   0.2 + (69.589 - 63.489) / (0.060 x 1139.77) = 28.9 %
    pumped down      (69.589 / 0.060 - 39.80) / 1139.77, at 32 C = 98.3 %, over the 90 % of practice: it fails

Without the 13.9 kg in the lines it would be 78 %.  With 70 L the circuit needs 72.267 kg, pumped down
(72.267 / 0.070 - 39.80) / 1139.77 = 87.1 %: it holds.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Level
from linesizer.domain.job import Job, Site
from linesizer.domain.result import CircuitResult
from linesizer.domain.route import Service
from linesizer.evaluate import solve
from tests.checks.judged import findings
from tests.solver.circuits import condenser, receiver
from tests.solver.routes import ORIGIN, chain, condition, job

WHERE = SubcoolingAt.LIQUID_LINE
KG = 0.005
"""Each sum has at most ten terms good to half of the last digit; the gas line's own drop, 1 kPa in 815 kPa, moves the
gas by 0.001 kg."""
FILL = 0.0006


def worked(receiver_m3: float = 0.060) -> Job:
    """Return the circuit of the docstring."""
    conditions = tuple(
        condition(ident, capacity_W=load, condensing_C=head, ambient_C=air, discharge_C=hot, subcooling_at=WHERE)
        for ident, load, head, air, hot in (
            ("summer", 80e3, 50.0, 35.0, 70.0),
            ("winter", 100e3, 32.0, -20.0, 60.0),
            ("quarter", 25e3, 32.0, -20.0, 60.0),
        )
    )
    equipment = (
        Equipment("unit", Role.UNIT, operating_kg=6.0, holds_kg=1.5),
        condenser(volume_m3=0.028, mean_liquid_fraction=0.2, design_td_K=15.0),
        receiver(volume_m3=receiver_m3, operating_fill=0.2, name="Vessel"),
    )
    made = job(
        chain([ORIGIN, (10.0, 0.0, 0.0)], size="2-5/8"),
        chain([(20.0, 1.0, 0.0), (0.0, 1.0, 0.0)], Service.LIQUID, size="1-1/8"),
        conditions=conditions,
        equipment=equipment,
        head_pressure_control=HeadPressureControl(HeadPressureControlKind.FLOODING, minimum_condensing_C=32.0),
    )
    return replace(made, site=Site(winter_ambient_C=-20.0))


@cache
def solved() -> CircuitResult:
    return solve(worked()).circuits[0]


def test_every_part_of_the_charge_at_every_condition() -> None:
    charge = solved().charge
    gas, liquid = solved().lines
    assert gas.flow is not None
    assert liquid.flow is not None
    np.testing.assert_allclose(gas.flow.charge_kg, [1.774, 1.050, 1.050], atol=KG)
    np.testing.assert_allclose(liquid.flow.charge_kg, [12.044, 12.816, 12.816], atol=KG)
    of = charge.by_condition
    np.testing.assert_allclose(of.lines_kg, [13.818, 13.866, 13.866], atol=KG)
    np.testing.assert_allclose(of.equipment_kg, [30.066, 29.562, 29.562], atol=KG)
    np.testing.assert_allclose(of.flooding_kg, [0.0, 20.061, 26.161], atol=KG)
    np.testing.assert_allclose(of.total_kg, [43.884, 63.489, 69.589], atol=KG)


def test_a_quarter_of_the_rejection_governs() -> None:
    charge = solved().charge
    assert charge.condition == "quarter"
    assert charge.lines_kg == pytest.approx(13.866, abs=KG)
    assert charge.flooding_kg == pytest.approx(26.161, abs=KG)
    assert charge.total_kg == pytest.approx(69.589, abs=KG)
    assert charge.to_add_kg == pytest.approx(68.089, abs=KG)


def test_the_receiver_fails_by_what_the_lines_hold() -> None:
    (level,) = solved().charge.receivers
    assert level.summer == pytest.approx(0.614, abs=FILL)
    assert level.running is not None
    np.testing.assert_allclose(level.running, [0.614, 0.289, 0.200], atol=FILL)
    assert level.pumped_down == pytest.approx(0.983, abs=FILL)
    (pumped,) = findings(worked(), "receiver_pumpdown", "receiver_summer", "receiver_low")
    assert pumped.code == "receiver_pumpdown"
    assert "98 % full" in pumped.message()
    assert pumped.level is Level.STOP
    without = replace(worked(), circuits=(replace(worked().circuits[0], lines=()),))
    assert findings(without, "receiver_pumpdown", "receiver_summer", "receiver_low") == ()


def test_a_larger_receiver_holds_it() -> None:
    larger = worked(receiver_m3=0.070)
    charge = solve(larger).circuits[0].charge
    assert charge.total_kg == pytest.approx(72.267, abs=KG)
    assert charge.receivers[0].pumped_down == pytest.approx(0.871, abs=FILL)
    assert findings(larger, "receiver_pumpdown", "receiver_summer", "receiver_low") == ()


def test_the_volume_that_is_advised_holds_it_just_so() -> None:
    """By hand: of 69.589 kg the vessel of 60 L runs with 60 L x 267.75 kg/m3 (a fifth of liquid at 32 C, the rest gas),
    so 53.524 kg stand elsewhere, and V = 53.524 / (0.9 x 1139.77 + 39.80 - 267.75) = 67.09 L, up to the next tenth.
    """
    (pumped,) = findings(worked(), "receiver_pumpdown")
    volume = dict(pumped.figures)["volume"]
    assert isinstance(volume, Figure)
    assert volume.value == pytest.approx(0.0671, abs=1e-6)
    assert findings(worked(receiver_m3=volume.value), "receiver_pumpdown") == ()
    assert len(findings(worked(receiver_m3=volume.value - 2e-4), "receiver_pumpdown")) == 1
