"""An own blend's table: as CoolProp has it, kept whole or not at all, and never taken for another's."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest
from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import UserError
from linesizer.properties import blend_building, library, own_blends
from linesizer.properties.blend_building import STAGES, BlendBuild, BuildStoppedError, build_blend
from linesizer.properties.own_blends import UnbuiltBlendsError
from tests.own_blends import HALF, MILD, NAME, built

TEMPERATURES_K = np.array([228.15, 253.15, 273.15, 293.15, 308.15, 328.15])
"""All where CoolProp's own saturation calls answer for this mixture."""


def mixture(phase: int) -> AbstractState:
    """R32 and R125 half and half by mass, as CoolProp's mixture model has it."""
    state = AbstractState("HEOS", "R32&R125")
    state.set_mass_fractions([0.5, 0.5])
    state.specify_phase(phase)
    return state


def test_pressures_and_densities_are_those_of_coolprops_mixture() -> None:
    """Against direct CoolProp calls, within ten times what a table may be off when it is made (DEVELOPERS.md)."""
    table = built(NAME, HALF).table
    direct = AbstractState("HEOS", "R32&R125")
    direct.set_mass_fractions([0.5, 0.5])
    for temperature in TEMPERATURES_K:
        direct.update(CoolProp.QT_INPUTS, 1.0, temperature)
        assert float(table.dew_pressure(temperature)) == pytest.approx(direct.p(), rel=2e-5)
        vapour = table.saturated_vapour(direct.p())
        assert float(vapour.density_kg_m3) == pytest.approx(direct.rhomass(), rel=1e-3)
        direct.update(CoolProp.QT_INPUTS, 0.0, temperature)
        assert float(table.bubble_pressure(temperature)) == pytest.approx(direct.p(), rel=2e-5)
        assert float(table.saturated_liquid(direct.p()).density_kg_m3) == pytest.approx(direct.rhomass(), rel=1e-3)
    for phase, pressure, temperature in (
        (CoolProp.iphase_gas, 1e6, 330.0),
        (CoolProp.iphase_gas, 2.5e6, 370.0),
        (CoolProp.iphase_liquid, 2.5e6, 300.0),
    ):
        state = mixture(phase)
        state.update(CoolProp.PT_INPUTS, pressure, temperature)
        found = (table.vapour_pt if phase == CoolProp.iphase_gas else table.liquid_pt)(pressure, temperature)
        assert float(found.density_kg_m3) == pytest.approx(state.rhomass(), rel=1e-4)


def test_it_is_near_the_shipped_refrigerant_of_that_composition() -> None:
    """R410A has an equation of its own in CoolProp; the mixture model agrees with it within a percent."""
    own, shipped = built(NAME, HALF).table, library.load("R410A")
    for temperature in TEMPERATURES_K:
        assert float(own.dew_pressure(temperature)) == pytest.approx(float(shipped.dew_pressure(temperature)), rel=0.01)


def test_fractions_by_mole_are_another_blend_with_its_own_mass_fractions() -> None:
    # Molar masses 52.024 and 120.0214 g/mol (CoolProp 8): 0.697615 of 52.024 and the rest make 50 % by mass.
    moles = (0.5 / 52.024) / (0.5 / 52.024 + 0.5 / 120.0214)
    found = built("ByMole", Blend((("R32", moles), ("R125", 1.0 - moles)), BlendBasis.MOLE))
    assert dict(found.table.composition) == pytest.approx({"R32": 0.5, "R125": 0.5}, abs=1e-6)
    assert found.blend.basis is BlendBasis.MOLE


def test_the_record_says_how_it_was_made() -> None:
    record = built(NAME, HALF).record
    assert record.blend == HALF
    assert "CoolProp" in record.method
    assert "R32 with R125: Lemmon-JPCRD-2004" in record.method
    assert record.estimated == ()
    assert 0.0 < record.pressure_uncertainty <= 0.05


def test_a_pair_without_parameters_is_estimated_and_said_to_be() -> None:
    # CoolProp 8 has none for R143a with R227ea; seen by asking it.
    record = built("Guess", Blend((("R134a", 0.6), ("R143a", 0.3), ("R227ea", 0.1)))).record
    assert [pair.components for pair in record.estimated] == [("R143a", "R227ea")]
    assert record.pressure_uncertainty >= 0.15
    assert "estimated" in record.method


@pytest.mark.parametrize(
    ("composition", "code", "words"),
    [
        ((("R717", 0.5), ("R744", 0.5)), "PROP-13", "no parameters for R717 with R744"),
        ((("R32", 0.5), ("R125", 0.4)), "PROP-11", "sum to 0.9"),
        ((("R999", 1.0),), "PROP-11", "R999"),
    ],
)
def test_a_blend_that_cannot_be_leaves_nothing(
    composition: tuple[tuple[str, float], ...], code: str, words: str, own_data_folder: Path
) -> None:
    with pytest.raises(UserError, match=words) as error:
        build_blend(NAME, Blend(composition))
    assert error.value.code == code
    assert files(own_data_folder) == []


def test_a_table_that_fails_a_check_is_not_kept(tmp_path: Path, own_data_folder: Path) -> None:
    """The building process runs with bounds that no table keeps."""
    (tmp_path / "sitecustomize.py").write_text(
        "from linesizer.properties.generator import verify\n"
        "verify._ALLOWED = {name: (unit, 0.0) for name, (unit, _) in verify._ALLOWED.items()}\n",
        encoding="utf-8",
    )
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("PYTHONPATH", str(tmp_path))
        with pytest.raises(UserError, match="is off by") as error:
            build_blend(NAME, MILD)
    assert error.value.code == "PROP-12"
    assert files(own_data_folder) == []


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_progress_counts_up_to_all_stages() -> None:
    told: list[tuple[int, str]] = []
    build_blend(NAME, MILD, lambda done, stage: told.append((done, stage)))
    assert [done for done, _ in told] == list(range(STAGES))
    assert len({stage for _, stage in told}) == STAGES


def test_a_stopped_build_leaves_nothing(own_data_folder: Path) -> None:
    build = BlendBuild(NAME, MILD)

    def report(done: int, _stage: str) -> None:
        if done == 3:
            threading.Thread(target=build.stop).start()

    with pytest.raises(BuildStoppedError):
        build.run(report)
    assert files(own_data_folder) == []
    with pytest.raises(BuildStoppedError):
        build.run(report)


@pytest.mark.parametrize("stage", [0, 2, 6])
def test_a_killed_builder_is_told_and_leaves_nothing(
    stage: int, own_data_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[subprocess.Popen[str]] = []

    class Watched(subprocess.Popen):  # type: ignore[type-arg]
        def __init__(self, *args: object, **options: object) -> None:
            super().__init__(*args, **options)  # type: ignore[call-overload]
            started.append(self)

    monkeypatch.setattr(blend_building.subprocess, "Popen", Watched)

    def report(done: int, _stage: str) -> None:
        if done == stage:
            started[0].kill()

    with pytest.raises(UserError) as error:
        build_blend(NAME, MILD, report)
    assert error.value.code == "PROP-17"
    assert files(own_data_folder) == []


def test_the_builder_ends_with_whoever_asked() -> None:
    command = [sys.executable, "-m", blend_building.MODULE]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8")
    assert process.stdin is not None
    assert process.stdout is not None
    request = {"name": NAME, "basis": "mass", "composition": dict(MILD.composition), "today": "2026-11-30"}
    process.stdin.write(json.dumps(request | {"safety_group": None, "gwp": None, "rcl_kg_m3": None}) + "\n")
    process.stdin.close()  # as when the asking process dies
    assert process.wait(timeout=20) == 1
    process.stdout.close()


def test_a_killed_program_leaves_nothing(own_data_folder: Path) -> None:
    """The whole command, killed in the middle of a build, with what it had started."""
    command = [sys.executable, "-m", "linesizer", "refrigerants", "--add", NAME, "--composition", "R32 0.5, R125 0.5"]
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    deadline = time.monotonic() + 20.0
    while not (own_data_folder / "blends").is_dir():
        assert time.monotonic() < deadline
        time.sleep(0.01)
    time.sleep(0.5)
    process.kill()
    process.wait()
    time.sleep(0.5)
    assert files(own_data_folder) == []


def test_an_interrupted_command_leaves_nothing(own_data_folder: Path) -> None:
    command = [sys.executable, "-m", "linesizer", "refrigerants", "--add", NAME, "--composition", "R32 0.5, R125 0.5"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, encoding="utf-8")
    while not (own_data_folder / "blends").is_dir():
        time.sleep(0.01)
    time.sleep(0.3)
    os.kill(process.pid, signal.SIGINT)
    out, err = process.communicate(timeout=20)
    assert (process.returncode, out) == (130, "")
    assert err.strip() == "linesizer: interrupted"
    assert files(own_data_folder) == []


def test_another_composition_of_the_name_is_never_taken(own_data_folder: Path) -> None:
    mild = built(NAME, MILD)
    with pytest.raises(UnbuiltBlendsError, match="R32/125 50/50"):
        library.load(NAME, HALF)
    # Not even where somebody renames the file.
    os.replace(mild.path, own_blends.path_of(NAME, HALF))
    with pytest.raises(UnbuiltBlendsError):
        library.load(NAME, HALF)
    assert own_blends.stored() == ()
    half = built(NAME, HALF)
    assert library.load(NAME, HALF) is half.table
    assert [one.blend for one in own_blends.stored()] == [HALF]


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"format": 2}'])
def test_a_file_that_cannot_be_read_is_built_anew(damage: bytes) -> None:
    path = built().path
    whole = path.read_bytes()
    path.write_bytes(damage)
    assert own_blends.stored() == ()
    with pytest.raises(UnbuiltBlendsError):
        library.load(NAME, MILD)
    assert built().path.read_bytes() == whole


def test_a_folder_that_cannot_be_made_is_told_before_coolprop_is_loaded(
    own_data_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (own_data_folder / "taken").write_text("a file")
    monkeypatch.setenv(own_blends.DATA_VARIABLE, str(own_data_folder / "taken"))
    monkeypatch.setattr(blend_building.subprocess, "Popen", pytest.fail)
    with pytest.raises(UserError) as error:
        build_blend(NAME, MILD)
    assert error.value.code == "PROP-14"
    assert own_blends.DATA_VARIABLE in error.value.remedy


def test_a_missing_coolprop_is_told_with_the_next_step(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fake = tmp_path / "sitecustomize.py"
    fake.write_text("import sys\nsys.modules['CoolProp'] = None\n", encoding="utf-8")
    monkeypatch.setenv("PYTHONPATH", str(tmp_path))
    with pytest.raises(UserError) as error:
        build_blend(NAME, MILD)
    assert error.value.code == "PROP-16"
    assert "CoolProp" in error.value.why
    assert "pip install" in error.value.remedy


def test_each_system_has_its_own_data_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """XDG Base Directory Specification; Windows' and Apple's own names for the place."""
    monkeypatch.delenv(own_blends.DATA_VARIABLE)
    home = Path.home()
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(home / "elsewhere"))
    assert own_blends.data_folder() == home / "elsewhere" / "linesizer"
    monkeypatch.setenv("XDG_DATA_HOME", "not/absolute")
    assert own_blends.data_folder() == home / ".local" / "share" / "linesizer"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert own_blends.data_folder() == home / "Library" / "Application Support" / "linesizer"
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(home / "AppData" / "Local"))
    assert own_blends.data_folder() == home / "AppData" / "Local" / "linesizer"


def test_the_gwp_follows_from_the_components_unless_it_is_stated() -> None:
    # IPCC AR4, 100 years: R32 675, R125 3500 (from memory); (675 + 3500) / 2 = 2087.5, printed 2088 for R410A.
    built(NAME, HALF)
    facts = library.facts(NAME, HALF)
    assert facts.gwp.value == pytest.approx(2087.5, abs=0.5)
    assert "by mass" in facts.gwp.source
    assert (facts.safety_group, facts.rcl_kg_m3, facts.oils) == (None, None, None)
    stated = library.facts(NAME, Blend(HALF.composition, safety_group="A1", gwp=2000.0, rcl_kg_m3=0.3))
    assert stated.gwp.value == 2000.0
    assert stated.safety_group is not None
    assert stated.safety_group.value == "A1"
    assert stated.rcl_kg_m3 is not None
    assert stated.rcl_kg_m3.value == 0.3
