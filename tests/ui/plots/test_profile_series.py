"""The profile's numbers against the result that they are taken from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.evaluate import solve
from linesizer.properties.library import load
from linesizer.solver.phase import vapour
from linesizer.storage import job_file
from linesizer.ui.plots.profile_series import Profile, line_profile, readout, turn_words
from tests.solver.condensers import parallel_job
from tests.ui.opened import ABOVE, BELOW, SAMPLES, TALL


def profile(sample: str, line: str) -> Profile:
    result = solve(job_file.read(SAMPLES / f"{sample}.json").job).circuits[0]
    found = line_profile(result, next(item for item in result.lines if item.line.id == line))
    assert found is not None
    return found


@pytest.mark.parametrize("sample", [ABOVE, BELOW, TALL])
@pytest.mark.parametrize("line", ["dis", "liq"])
def test_nodes_run_from_the_lines_start_to_its_end(sample: str, line: str) -> None:
    result = solve(job_file.read(SAMPLES / f"{sample}.json").job).circuits[0]
    solved = next(item for item in result.lines if item.line.id == line)
    found = line_profile(result, solved)
    assert found is not None
    assert solved.flow is not None
    assert found.length_m == pytest.approx(solved.length_m)
    assert found.elevation_m[-1] - found.elevation_m[0] == pytest.approx(solved.rise_m)
    for index, curve in enumerate(found.curves):
        assert curve.pressure_Pa[0] == pytest.approx(solved.flow.inlet_Pa[index])
        assert curve.pressure_Pa[-1] == pytest.approx(solved.flow.outlet_Pa[index])


@pytest.mark.parametrize("sample", [ABOVE, BELOW, TALL])
def test_the_margin_of_a_liquid_line_ends_at_its_outlet_subcooling(sample: str) -> None:
    result = solve(job_file.read(SAMPLES / f"{sample}.json").job).circuits[0]
    solved = next(item for item in result.lines if item.line.id == "liq")
    found = line_profile(result, solved)
    assert found is not None
    assert solved.flow is not None
    assert [curve.margin_K[-1] for curve in found.curves] == pytest.approx(
        list(solved.flow.outlet_subcooling_K), abs=1e-6
    )


def test_superheat_begins_at_the_discharge_temperature() -> None:
    job = job_file.read(SAMPLES / f"{ABOVE}.json").job
    result = solve(job).circuits[0]
    found = line_profile(result, result.lines[0])
    assert found is not None
    # At full load the gas leaves the compressor at 74.7 C and 13.5 bar: some 24 K above the dew point of R134a, 51 C.
    assert 22.0 < found.curves[0].margin_K[0] < 26.0
    assert found.margin_word == "superheat"


def test_superheat_falls_as_the_gas_gives_heat_off_in_the_cold() -> None:
    """Against the state that the node's own pressure and temperature have, read from the table anew."""
    job = job_file.read(SAMPLES / f"{TALL}.json").job
    circuit = replace(job.circuits[0], heat_exchange=True)
    result = solve(replace(job, circuits=(circuit,))).circuits[0]
    found = line_profile(result, result.lines[0])
    legs = result.lines[0].legs
    assert found is not None
    assert legs is not None
    winter = found.curves[1].margin_K
    assert (np.diff(winter) < 0.0).all()
    dew_C = vapour(load(circuit.refrigerant)).saturation_temperature(legs.outlet_Pa[:3, 1]) - 273.15
    assert winter[1:4] == pytest.approx(legs.end_C[:3, 1] - dew_C, abs=0.01)


def test_gas_that_condenses_on_the_way_says_from_where() -> None:
    job = job_file.read(SAMPLES / f"{TALL}.json").job
    circuit = job.circuits[0]
    cold = replace(circuit.conditions[1], ambient_C=-30.0, capacity_W=6_000.0)
    circuit = replace(circuit, heat_exchange=True, conditions=(circuit.conditions[0], cold))
    result = solve(replace(job, circuits=(circuit,))).circuits[0]
    found = line_profile(result, result.lines[0])
    assert found is not None
    turns_m = found.curves[1].turns_m
    assert found.curves[0].turns_m is None
    assert turns_m is not None
    assert np.interp(turns_m, found.curves[1].margin_at_m, found.curves[1].margin_K) == 0.0
    leg = found.leg_at(turns_m)
    assert leg is not None
    assert turn_words(found, found.curves[1], "si") == f"condenses from {turns_m:.2f} m in {leg.id}"
    assert turn_words(found, found.curves[0], "si") == ""


def test_liquid_that_stays_liquid_has_no_marker_and_liquid_that_boils_has_one() -> None:
    assert [curve.turns_m for curve in profile(ABOVE, "liq").curves] == [None, None]
    found = profile(BELOW, "liq")
    for curve in found.curves:
        assert curve.turns_m is not None
        assert np.interp(curve.turns_m, curve.margin_at_m, curve.margin_K) == 0.0
        assert (np.diff(curve.margin_at_m) > 0.0).all()
    assert " in l3; under 1 % vapour" in turn_words(found, found.curves[0], "si")
    boiling = replace(found.curves[0], vapour_fraction=0.034)
    assert turn_words(found, boiling, "si").endswith("; about 3 % vapour at its end")


def test_a_place_is_read_out_in_the_units_of_the_screen() -> None:
    found = profile(ABOVE, "dis")
    words = readout(found, found.curves[0], 2.2, "si", 98_000.0)
    assert words.startswith("d1 at 2.20 m: ")
    assert "bar g" in words
    assert "superheat" in words
    assert "elevation 3.40 m" in words
    assert "ft" in readout(found, found.curves[0], 2.2, "ip", 98_000.0)


def test_a_line_that_is_not_calculated_has_no_profile() -> None:
    result = solve(job_file.read(SAMPLES / f"{ABOVE}.json").job).circuits[0]
    assert line_profile(result, replace(result.lines[0], legs=None, flow=None)) is None


def test_a_condition_whose_flow_does_not_pass_is_marked() -> None:
    result = solve(job_file.read(SAMPLES / f"{ABOVE}.json").job).circuits[0]
    line = result.lines[0]
    assert line.legs is not None
    blank = np.array([[np.nan, 0.0]])
    broken = replace(
        line, legs=replace(line.legs, inlet_Pa=line.legs.inlet_Pa + blank, outlet_Pa=line.legs.outlet_Pa + blank)
    )
    found = line_profile(result, broken)
    assert found is not None
    assert [curve.passes for curve in found.curves] == [False, True]


def test_a_branched_line_shows_the_way_through_the_selected_leg() -> None:
    """One way at a time: that of a leg which one condenser has for itself, else the one that decides."""
    result = solve(parallel_job(shares=(0.5, 0.5))).circuits[0]
    gas, liquid = result.lines
    near = line_profile(result, gas, "tc")
    far = line_profile(result, gas, "fg")
    shared = line_profile(result, gas, "ab", 1)
    assert near is not None
    assert far is not None
    assert shared is not None
    assert [leg.id for leg in near.legs] == ["ab", "bt", "tc", "cd"]
    assert near.way == "to Near one"
    assert near.length_m == pytest.approx(3.0 + 8.0 + 5.0 + 2.0)
    assert far.way == shared.way == "to Far one", "the far way costs more, so it decides"
    for found, branch in ((near, gas.branches[0]), (far, gas.branches[1])):
        for index, curve in enumerate(found.curves):
            assert curve.pressure_Pa[0] == pytest.approx(branch.inlet_Pa[index])
            assert curve.pressure_Pa[-1] == pytest.approx(branch.outlet_Pa[index])
    back = line_profile(result, liquid, "at")
    assert back is not None
    assert back.way == "from Near one"
    assert [curve.pressure_Pa[-1] for curve in back.curves] == pytest.approx(list(liquid.branches[0].outlet_Pa))
