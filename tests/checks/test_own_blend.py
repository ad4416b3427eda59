"""A blend of one's own: the note that goes with every figure, and what its components forbid."""

from __future__ import annotations

from dataclasses import replace

from linesizer.domain.blend import Blend
from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.evaluate import solve
from tests.checks.judged import findings
from tests.own_blends import HALF, MILD, NAME, built, job

GUESSED = Blend((("R134a", 0.6), ("R143a", 0.3), ("R227ea", 0.1)))
"""CoolProp 8 has no parameters for R143a with R227ea; seen by asking it."""


def only(made: Job, code: str = "own_blend") -> Finding:
    (found,) = findings(made, code)
    return found


def test_the_note_names_composition_date_method_and_uncertainty() -> None:
    record = built().record
    found = only(job())
    assert found.level is Level.NOTE
    message = found.message("si")
    for words in (
        f"{NAME} (R134a/227ea 90/10 by mass) is a blend of your own",
        "not a shipped refrigerant",
        f"built on {record.built}",
        record.method,
        record.uncertainty_words,
        "viscosity 10 % for liquid",
    ):
        assert words in message
    assert "estimated" not in message


def test_it_comes_first_of_its_level_and_not_with_a_shipped_refrigerant() -> None:
    built()
    notes = [found for found in solve(job()).findings if found.level is Level.NOTE]
    assert notes[0].code == "own_blend"
    shipped = job()
    shipped = replace(shipped, circuits=(replace(shipped.circuits[0], refrigerant="R134a", blend=None),))
    assert findings(shipped, "own_blend") == ()


def test_an_estimated_pair_is_for_a_person_to_decide() -> None:
    built(NAME, GUESSED)
    found = only(job(NAME, GUESSED))
    assert found.level is Level.WARN
    assert "Nobody has fitted how R143a with R227ea act on each other: that is estimated." in found.message("si")


def test_copper_is_a_stop_where_a_component_attacks_it() -> None:
    """Ammonia attacks copper: a fact of the trade; R290 with R717 has fitted parameters in CoolProp."""
    ammonia = Blend((("R717", 0.9), ("R290", 0.1)))
    built("Nh3Mix", ammonia)
    found = findings(job("Nh3Mix", ammonia), "material_unsuitable")
    assert found
    assert all(one.level is Level.STOP for one in found)
    assert "R717 in Nh3Mix" in found[0].message("si")
    built()
    assert findings(job(), "material_unsuitable") == ()


def test_limits_of_concentration_are_unknown_unless_stated() -> None:
    built()
    unknown = {found.rule for found in findings(job(), "concentration_limit_unknown")}
    assert len(unknown) == 2
    # 0.25 kg/m3 is a value of the order of R134a's; the plant room of the sample has 90 m3.
    stated = replace(MILD, rcl_kg_m3=1e-3)
    left = {found.rule for found in findings(job(NAME, stated), "concentration_limit_unknown")}
    assert len(left) == 1
    (judged,) = findings(job(NAME, stated), "room_concentration")
    assert "as entered with the blend" in judged.source


def test_rules_on_charge_count_by_the_components() -> None:
    """GWP by mass from IPCC AR4 (from memory): 0.9 x 1430 + 0.1 x 3220 = 1609."""
    built()
    messages = [found.message("si") for found in findings(job(), "charge_threshold")]
    assert any("GWP 1609" in message for message in messages)
    stated = [found.message("si") for found in findings(job(NAME, replace(MILD, gwp=1234.0)), "charge_threshold")]
    assert any("GWP 1234, as entered with the blend" in message for message in stated)


def test_figures_are_those_of_the_shipped_refrigerant_of_the_same_composition() -> None:
    """R410A's own equation and the mixture model differ by less than 1 % in pressure and 0.5 % in flow."""
    built(NAME, HALF)
    own = solve(job(NAME, HALF)).circuits[0].conditions
    made = job(NAME, HALF)
    shipped = replace(made, circuits=(replace(made.circuits[0], refrigerant="R410A", blend=None),))
    other = solve(shipped).circuits[0].conditions
    assert abs(own.condensing_Pa / other.condensing_Pa - 1.0).max() < 0.01
    assert abs(own.mass_flow_kg_s / other.mass_flow_kg_s - 1.0).max() < 0.005
