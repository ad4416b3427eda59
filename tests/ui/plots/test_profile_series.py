"""The profile's numbers against the result that they are taken from."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from linesizer.evaluate import solve
from linesizer.storage import job_file
from linesizer.ui.plots.profile_series import Profile, flash_place, flash_words, line_profile, readout
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


def test_liquid_that_stays_liquid_has_no_marker_and_liquid_that_boils_has_one() -> None:
    assert [curve.flash_m for curve in profile(ABOVE, "liq").curves] == [None, None]
    found = profile(BELOW, "liq")
    for curve in found.curves:
        assert curve.flash_m is not None
        # The margin is straight between the nodes, so at the marker it is nothing.
        assert np.interp(curve.flash_m, found.at_m, curve.margin_K) == pytest.approx(0.0, abs=1e-9)
    assert flash_words(found, found.curves[1].flash_m or 0.0, "si").endswith(" in l2")


@pytest.mark.parametrize(
    ("margin", "place"),
    [([4.0, 2.0, 1.0], None), ([4.0, 2.0, -2.0], 7.5), ([-1.0, -2.0, -3.0], 0.0), ([4.0, -4.0, 4.0], 2.5)],
)
def test_where_boiling_begins(margin: list[float], place: float | None) -> None:
    found = flash_place(np.array([0.0, 5.0, 10.0]), np.array(margin))
    assert found == (None if place is None else pytest.approx(place))


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
