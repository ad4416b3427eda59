from __future__ import annotations

import pytest

from linesizer.properties import library

STATUSES = {"read", "from memory", "derived"}
COMPONENT_GWP = {
    # IPCC AR4, 100 years, as in EU 517/2014 Annex I and II (from memory)
    "R32": 675, "R125": 3500, "R134a": 1430, "R143a": 4470, "R227ea": 3220, "R1234yf": 4, "R1234ze(E)": 7, "R744": 1,
}  # fmt: skip
HYDROCARBONS = ("R290", "R1270", "R600a")


@pytest.mark.parametrize("name", library.names())
def test_every_fact_names_its_source_and_status(name: str) -> None:
    facts = library.facts(name)
    given = [facts.safety_group, facts.mass_fractions, facts.gwp, facts.tube_materials, facts.oils]
    given += [fact for fact in (facts.rcl_kg_m3, facts.rcl_ppm, facts.practical_limit_kg_m3) if fact is not None]
    for fact in given:
        assert fact.source
        assert fact.status in STATUSES
    assert facts.gwp_edition
    assert facts.safety_group.value in {"A1", "A2L", "A2", "A3", "B1", "B2L"}
    assert facts.oils.value
    assert facts.tube_materials.value


@pytest.mark.parametrize("name", [name for name in library.names() if len(library.load(name).composition) > 1])
def test_blend_gwp_is_the_mean_by_mass(name: str) -> None:
    """EU 517/2014 Annex IV: a mixture's GWP is the mean of its components' weighted by mass; listed whole."""
    facts = library.facts(name)
    mean = sum(share * COMPONENT_GWP[part] for part, share in facts.mass_fractions.value.items())
    assert facts.gwp.value == pytest.approx(mean, abs=1.0)


@pytest.mark.parametrize("name", library.names())
def test_concentration_limit_by_mass_is_that_by_volume(name: str) -> None:
    """Ideal gas at 25 C and 101.325 kPa; both are listed with two digits, so each is off by up to half a last digit."""
    facts = library.facts(name)
    assert (facts.rcl_kg_m3 is None) == (facts.rcl_ppm is None)
    if facts.rcl_kg_m3 is None or facts.rcl_ppm is None:
        assert name in ("R515B", "R455A")
        return
    molar_volume_m3 = 8.314462618 * 298.15 / 101325.0
    by_volume = facts.rcl_ppm.value * 1e-6 * library.load(name).molar_mass_kg_mol / molar_volume_m3

    def half_a_digit(value: float) -> float:
        leading = int(f"{value:.1e}".replace(".", "")[:2])
        return 0.5 / leading

    allowed = half_a_digit(facts.rcl_ppm.value) + half_a_digit(facts.rcl_kg_m3.value)
    assert facts.rcl_kg_m3.value == pytest.approx(by_volume, rel=allowed)


def test_copper_is_not_for_ammonia_alone() -> None:
    without = {name for name in library.names() if "copper" not in library.facts(name).tube_materials.value}
    assert without == {"R717"}


def test_flammable_groups() -> None:
    groups = {name: library.facts(name).safety_group.value for name in library.names()}
    assert {name for name, group in groups.items() if group == "A3"} == set(HYDROCARBONS)
    assert groups["R717"] == "B2L"
    assert groups["R32"] == groups["R454B"] == groups["R1234yf"] == "A2L"
    assert groups["R134a"] == groups["R744"] == "A1"
