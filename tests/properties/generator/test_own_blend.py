"""How far an estimate of two components' interaction may be off, and which components have what they need."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from CoolProp import CoolProp

from linesizer.properties import library
from linesizer.properties.components import COMPONENTS
from linesizer.properties.generator.equation import abstract_state
from linesizer.properties.generator.generate import generate
from linesizer.properties.generator.recipe import blend
from linesizer.properties.generator.saturation import MixtureLine

PROGRAM = """
import json
from itertools import combinations
from CoolProp import CoolProp
from CoolProp.CoolProp import AbstractState
from linesizer.properties.generator import own_blend
from linesizer.properties.generator.own_blend import COMPONENTS, HALOCARBONS

CoolProp.set_config_bool(CoolProp.OVERWRITE_BINARY_INTERACTION, True)
identity = {name: CoolProp.get_fluid_param_string(COMPONENTS[name], "CAS") for name in HALOCARBONS}

def saturated(first, second):
    state = AbstractState("HEOS", f"{COMPONENTS[first]}&{COMPONENTS[second]}")
    state.set_mole_fractions([0.5, 0.5])
    state.update(CoolProp.QT_INPUTS, 0.0, 273.15)
    bubble, liquid = state.p(), state.rhomass()
    state.update(CoolProp.QT_INPUTS, 1.0, 273.15)
    return bubble, liquid, state.p(), state.rhomass()

def has_parameters(pair):
    first, second = (identity[name] for name in pair)
    return own_blend._source(first, second) or own_blend._source(second, first)

known = [pair for pair in combinations(sorted(HALOCARBONS), 2) if has_parameters(pair)]
fitted = {pair: saturated(*pair) for pair in known}
off = []
for pair in known:
    CoolProp.apply_simple_mixing_rule(*(identity[name] for name in pair), own_blend.ESTIMATION_RULE)
    off.append([abs(a / b - 1.0) for a, b in zip(saturated(*pair), fitted[pair])])
worst = [max(column) for column in zip(*off)]
print(json.dumps([len(known), max(worst[0], worst[2]), worst[1], worst[3], own_blend.ESTIMATED]))
"""


def test_the_uncertainty_of_an_estimate_is_what_the_rule_misses_known_pairs_by() -> None:
    """In a process of its own: CoolProp's parameters are changed."""
    done = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
    count, pressure, liquid, vapour, stated = json.loads(done.stdout)
    assert count >= 30
    for missed, said in zip((pressure, liquid, vapour), stated, strict=True):
        assert missed <= said <= 1.3 * missed


@pytest.mark.parametrize(
    "composition",
    [
        {"R22": 0.8, "R32": 0.2},  # long steps along the lines lead nowhere
        {"R143a": 0.5, "R22": 0.5},  # CoolProp finds no viscosity at single points
    ],
)
def test_tables_where_the_straight_way_fails_are_built_and_as_accurate(
    composition: dict[str, float], tmp_path: Path
) -> None:
    """``generate`` compares with CoolProp's own calls by pressure and temperature, and writes nothing that is off."""
    assert generate(replace(blend("Mix", composition), below_critical_K=6.0), tmp_path).is_file()


def test_a_line_begins_where_coolprops_own_call_finds_no_start() -> None:
    """Compared with CoolProp's own call at other temperatures, where that answers."""
    recipe = blend("Mix", {"R134a": 0.5, "R717": 0.5})
    flash = abstract_state(recipe)
    with pytest.raises(ValueError, match="unable to find a solution"):
        flash.update(CoolProp.QT_INPUTS, 1.0, 233.15)
    line = MixtureLine(recipe, "vapour")
    for temperature in (263.15, 273.15, 283.15):
        flash.update(CoolProp.QT_INPUTS, 1.0, temperature)
        assert line.at_temperature(temperature).pressure_Pa == pytest.approx(flash.p(), rel=1e-6)


def test_an_ideal_start_leads_to_the_true_point() -> None:
    for composition in ({"R32": 0.5, "R125": 0.5}, {"R32": 0.3, "R1234yf": 0.7}, {"R134a": 0.4, "R1234ze(E)": 0.6}):
        recipe = blend("Mix", composition)
        flash = abstract_state(recipe)
        for phase, quality in (("vapour", 1.0), ("liquid", 0.0)):
            line = MixtureLine(recipe, phase)
            found = line._solve("temperature", 233.15, line._ideal_start(233.15))
            flash.update(CoolProp.QT_INPUTS, quality, 233.15)
            assert found.pressure_Pa == pytest.approx(flash.p(), rel=1e-6)


def test_every_component_has_a_gwp_with_its_source() -> None:
    for name in COMPONENTS:
        value, edition = library._component_gwps()[name]
        assert value.value >= 0.0
        assert value.source
        assert edition


def test_the_components_gwp_gives_that_of_shipped_blends() -> None:
    """GWP of IPCC AR4 by mass, as EU 517/2014 Annex IV counts; listed values from memory: R410A 2088, R404A 3922."""
    for name, listed in (("R410A", 2088.0), ("R404A", 3922.0), ("R507A", 3985.0), ("R407C", 1774.0)):
        shares = library.facts(name).mass_fractions.value
        mean = sum(share * library._component_gwps()[part][0].value for part, share in shares.items())
        assert abs(mean - listed) < 1.0
