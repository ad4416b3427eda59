"""Receivers, oil and what the charge lacks: when a finding comes, how heavy it is, and what it says."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from linesizer.domain.circuit import HeadPressureControl, HeadPressureControlKind
from linesizer.domain.equipment import Equipment, Role
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.job import Job, Site
from linesizer.evaluate import solve
from tests.checks.judged import findings, messages
from tests.solver.circuits import condenser, receiver
from tests.solver.routes import condition, job

SUMMER = condition("summer", capacity_W=80e3, condensing_C=50.0, ambient_C=35.0)
WINTER = condition("winter", capacity_W=25e3, condensing_C=32.0, ambient_C=-20.0)
FLOODED = condenser(name="Loft {x}", volume_m3=0.028, mean_liquid_fraction=0.2, design_td_K=15.0)
CONTROL = HeadPressureControl(HeadPressureControlKind.FLOODING, minimum_condensing_C=32.0)


def plant(*equipment: Equipment, floods: bool = False, winter_C: float | None = -20.0, **changes: Any) -> Job:
    control = CONTROL if floods else replace(CONTROL, kind=HeadPressureControlKind.FAN_CYCLING)
    stated = {"conditions": (SUMMER, WINTER), "head_pressure_control": control} | changes
    return replace(job(equipment=equipment, **stated), site=Site(winter_ambient_C=winter_C))


def vessel(**changes: Any) -> Equipment:
    return receiver(**({"name": "Vessel", "volume_m3": 0.05, "operating_fill": 0.3} | changes))


def only(found: tuple[Finding, ...]) -> Finding:
    (finding,) = found
    return finding


def test_a_receiver_with_room_and_liquid_has_no_finding() -> None:
    assert findings(plant(FLOODED, vessel()), "receiver_pumpdown", "receiver_summer", "receiver_low") == ()


def test_the_whole_charge_must_fit_pumped_down() -> None:
    """60 kg of R134a at 32 C, in 50 L: (1200 - 39.8) / (1179.6 - 39.8) = 101.8 % (densities: CoolProp, read)."""
    unit = Equipment("unit", Role.UNIT, operating_kg=60.0)
    empty = vessel(operating_kg=0.0, operating_fill=None)
    stop = only(findings(plant(unit, empty), "receiver_pumpdown"))
    assert stop.level is Level.STOP
    assert stop.value == pytest.approx(1.018, abs=0.0005)
    assert stop.limit == 0.9
    assert stop.rule == "receiver_max_fill_pumpdown"
    si, ip = messages(stop)
    assert "102 % full" in si
    assert "90 %" in si
    # 60 kg / (0.9 x 1139.8 + 39.8) kg/m3 = 56.3 L, up to the next tenth of a litre.
    assert "56.40 L of receiver in all would do" in si
    assert "60.00 kg" in si
    assert "32.0 °C" in si
    assert "132.28 lb" in ip
    # What arrives beyond the need is in the circuit as well.
    holds = replace(unit, operating_kg=10.0, holds_kg=60.0)
    assert only(findings(plant(holds, empty), "receiver_pumpdown")).value == pytest.approx(1.018, abs=0.0005)


def test_two_receivers_share_the_charge_by_volume() -> None:
    unit = Equipment("unit", Role.UNIT, operating_kg=60.0)
    empty = vessel(operating_kg=0.0, operating_fill=None)
    second = replace(empty, id="rec2", name="Other", volume_m3=0.025)
    assert findings(plant(unit, empty, second), "receiver_pumpdown") == ()
    tight = findings(plant(unit, empty, second, overrides={"receiver_max_fill_pumpdown": 0.5}), "receiver_pumpdown")
    assert len({finding.value for finding in tight}) == 1
    assert [finding.title.split(":")[0] for finding in tight] == ["Vessel", "Other"]


def test_flooding_comes_back_in_summer() -> None:
    codes = ("receiver_summer",)
    fits = plant(FLOODED, vessel(volume_m3=0.064), floods=True)
    assert findings(fits, *codes) == ()
    warn = only(findings(plant(FLOODED, vessel(volume_m3=0.045), floods=True), *codes))
    assert warn.level is Level.WARN
    assert warn.condition == "summer"
    assert "drained" in warn.message()
    stop = only(findings(plant(FLOODED, vessel(volume_m3=0.030), floods=True), *codes))
    assert stop.level is Level.STOP
    assert "backs up" in stop.message()
    # The same receiver where nothing floods.
    assert findings(plant(FLOODED, vessel(volume_m3=0.030)), *codes) == ()


def test_a_winter_job_alone_is_judged_drained_too() -> None:
    """Without a summer condition the levels never show the drained condenser; the summer level does."""
    made = plant(FLOODED, vessel(volume_m3=0.030), floods=True, conditions=(WINTER,))
    assert only(findings(made, "receiver_summer")).condition == "winter"


def test_a_dip_tube_that_runs_dry() -> None:
    low = only(findings(plant(FLOODED, vessel(operating_fill=0.1)), "receiver_low"))
    assert low.level is Level.WARN
    assert low.value == pytest.approx(0.1, abs=1e-9)
    assert low.limit == 0.15
    assert "10 % full" in low.message()
    assert "operating fill" in low.message()
    assert findings(plant(FLOODED, vessel(operating_fill=0.15)), "receiver_low") == ()


def test_charging_for_summer_empties_the_receiver_in_winter() -> None:
    made = plant(FLOODED, vessel(), floods=True, charge_condition="summer")
    low, short = findings(made, "receiver_low", "charge_condition_short")
    assert low.condition == short.condition == "winter"
    assert low.value == 0.0
    assert "0 % full" in low.message()
    assert "needs most" in low.message()
    assert short.level is Level.WARN
    assert short.value is not None
    assert short.limit is not None
    assert short.value > short.limit
    assert "which the job names" in short.message()
    named_right = plant(FLOODED, vessel(), floods=True, charge_condition="winter")
    assert findings(named_right, "receiver_low", "charge_condition_short") == ()


def test_a_difference_within_the_band_is_no_finding() -> None:
    """Summer needs 26.51 kg, winter 26.59 kg: well within a tenth of the equipment."""
    assert findings(plant(FLOODED, vessel(), charge_condition="summer"), "charge_condition_short") == ()


def test_flooding_without_a_receiver_stops() -> None:
    stop = only(findings(plant(FLOODED, floods=True), "receiver_missing"))
    assert stop.level is Level.STOP
    assert "kg more into the condensers" in stop.message()
    assert findings(plant(FLOODED, vessel(), floods=True), "receiver_missing") == ()
    assert findings(plant(FLOODED), "receiver_missing") == ()


@pytest.mark.parametrize(
    ("condensers", "winter_C", "words"),
    [
        ((replace(FLOODED, volume_m3=None),), -20.0, "the volume of Loft {x}"),
        ((replace(FLOODED, design_td_K=None),), -20.0, "the design temperature difference of Loft {x}"),
        (
            (replace(FLOODED, mean_liquid_fraction=None, volume_m3=None),),
            -20.0,
            "the volume and mean liquid fraction of Loft {x}",
        ),
        ((), -20.0, "a condenser"),
        ((FLOODED,), None, "a winter ambient temperature"),
    ],
    ids=["volume", "difference", "two", "condenser", "air"],
)
def test_what_flooding_cannot_be_calculated_without(
    condensers: tuple[Equipment, ...], winter_C: float | None, words: str
) -> None:
    still = (replace(SUMMER, ambient_C=None), replace(WINTER, ambient_C=None))
    made = plant(*condensers, vessel(), floods=True, winter_C=winter_C, conditions=still)
    stop = only(tuple(f for f in _found(made) if f.code == "flooding_data_missing"))
    assert stop.level is Level.STOP
    assert words in stop.message()
    assert not [f for f in _found(plant(*condensers, vessel())) if f.code == "flooding_data_missing"]


def _found(made: Job) -> tuple[Finding, ...]:
    return solve(made).findings


def test_oil_for_what_the_factory_charge_does_not_cover() -> None:
    """2 % of what is beyond 9 kg: 0.02 x (59 - 9) = 1 kg."""
    unit = Equipment("unit", Role.UNIT, operating_kg=59.0)
    note = only(findings(plant(unit), "oil_charge"))
    assert note.level is Level.NOTE
    assert note.value == pytest.approx(1.0)
    assert note.rule == "oil_extra_fraction"
    assert "1.00 kg of oil" in note.message()
    assert "2.20 lb of oil" in note.message("ip")
    assert "maker's own rule" in note.message()
    assert findings(plant(replace(unit, operating_kg=9.0)), "oil_charge") == ()
    own = only(findings(plant(unit, overrides={"oil_extra_fraction": 0.04}), "oil_charge"))
    assert own.value == pytest.approx(2.0)


def test_a_larger_receiver_spreads_what_summer_drains_into_it() -> None:
    """The stated fill stays; what is drained goes with one over the volume, so the advised volume just holds."""
    codes = ("receiver_summer",)
    warn = only(findings(plant(FLOODED, vessel(volume_m3=0.045), floods=True), *codes))
    volume = dict(warn.figures)["volume"]
    assert isinstance(volume, Figure)
    assert findings(plant(FLOODED, vessel(volume_m3=volume.value + 2e-4), floods=True), *codes) == ()
    assert len(findings(plant(FLOODED, vessel(volume_m3=volume.value - 3e-4), floods=True), *codes)) == 1


def test_no_receiver_would_do_that_runs_fuller_than_it_may_be() -> None:
    full = vessel(operating_fill=0.95)
    pumped = only(findings(plant(FLOODED, full), "receiver_pumpdown"))
    assert "No larger receiver that runs as full would do; let it run less full" in pumped.message()
