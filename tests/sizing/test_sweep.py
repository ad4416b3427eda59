"""The size sweep: each row is the line solved at that one size, and says the same as its findings."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from linesizer.catalog.practice import practice_set
from linesizer.catalog.tubes import tube_catalogue
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.result import CircuitResult, LineResult, SizeSweep
from linesizer.domain.route import Joint, Leg, Line, Service
from linesizer.evaluate import solve
from linesizer.sizing.exclusion import SHORT_WORDS, exclusion_word
from linesizer.units import STANDARD_ATMOSPHERE_Pa
from tests.solver.routes import ORIGIN, chain, condition, job

POINTS = [ORIGIN, (0.0, 0.0, 9.0), (14.0, 0.0, 9.0), (14.0, 0.0, 4.0), (20.0, 0.0, 4.0)]
CONDITIONS = [condition("full"), condition("low", capacity_W=20e3, condensing_C=32.0)]
SERVICES = (Service.DISCHARGE, Service.LIQUID)
REFRIGERANTS = ("R134a", "R410A")


@cache
def at(refrigerant: str, service: Service, size: str) -> CircuitResult:
    return solve(job(chain(POINTS, service, size=size), refrigerant=refrigerant, conditions=CONDITIONS)).circuits[0]


def swept(line: LineResult) -> SizeSweep:
    assert line.sweep is not None
    return line.sweep


@pytest.mark.parametrize("service", SERVICES)
@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_a_row_is_the_line_at_that_size(refrigerant: str, service: Service) -> None:
    """Legs are not cut in a sweep, which up to a drop of a tenth of the pressure makes less than 1e-4."""
    rows = swept(at(refrigerant, service, "1-3/8").lines[0])
    compared = 0
    for index, size in enumerate(rows.sizes):
        line = at(refrigerant, service, size).lines[0]
        assert line.flow is not None
        assert line.legs is not None
        passes = bool(line.flow.passes_flow.all())
        assert (rows.excluded_by[index] == "flow_does_not_pass") == (not passes)
        assert np.isfinite(rows.pressure_drop_Pa[index]) == passes
        if not passes or (line.flow.drop_Pa > 0.1 * line.flow.inlet_Pa).any():
            continue
        compared += 1
        expected: dict[str, float] = {
            "pressure_drop_Pa": line.flow.drop_Pa.max(),
            "saturation_penalty_K": line.flow.saturation_penalty_K.max(),
            "velocity_m_s": line.legs.velocity_m_s.max(),
            "charge_kg": line.flow.charge_kg.max(),
            "inner_diameter_m": line.legs.inner_diameter_m[0],
        }
        if service is Service.DISCHARGE:
            # Judged at the corners of the load grid too.
            ratios = np.concatenate([line.legs.oil_return_ratio, line.legs.corner_ratio], axis=1)
            if refrigerant == "R134a":
                assert np.nanmin(line.legs.corner_ratio) < np.nanmin(line.legs.oil_return_ratio)
            expected["oil_return_ratio"] = float(np.nanmin(ratios))
            assert np.isnan(rows.outlet_subcooling_K[index])
        else:
            expected["outlet_subcooling_K"] = line.flow.outlet_subcooling_K.min()
            assert np.isnan(rows.oil_return_ratio[index])
        for name, value in expected.items():
            assert getattr(rows, name)[index] == pytest.approx(value, rel=1e-4), (size, name)
    assert compared >= 8


@pytest.mark.parametrize("service", SERVICES)
@pytest.mark.parametrize("refrigerant", REFRIGERANTS)
def test_a_size_fits_just_where_its_findings_are_light(refrigerant: str, service: Service) -> None:
    """Velocity is an exclusion without a finding of its own, so it is not compared."""
    rows = swept(at(refrigerant, service, "1-3/8").lines[0])
    verdicts = set()
    for index, size in enumerate(rows.sizes):
        if (rows.excluded_by[index] or "").endswith("velocity_max_m_s"):
            continue
        heavy = {finding.rule for finding in at(refrigerant, service, size).findings if finding.level.weight > 1}
        assert (rows.excluded_by[index] is None) == (not heavy), (size, heavy)
        if rows.excluded_by[index] not in (None, "flow_does_not_pass"):
            assert rows.excluded_by[index] in heavy
        verdicts.add(rows.excluded_by[index])
    assert len(verdicts) >= 3


LOAD_HEAT = [
    condition("full", ambient_C=-10.0),
    condition("low", capacity_W=20e3, condensing_C=32.0, ambient_C=-15.0, bypass=0.2),
]


def with_heat(refrigerant: str, service: Service, size: str) -> LineResult:
    """Return one of two lines in the cold, legs bare and insulated in turn, with a bypass at the low load."""

    def cold(line: Line) -> Line:
        legs = enumerate(line.legs)
        return replace(line, legs=tuple(replace(x, place="outdoor", insulation_m=0.009 * (i % 2)) for i, x in legs))

    aside = [(east, 5.0, up) for east, _, up in POINTS]
    other = Service.LIQUID if service is Service.DISCHARGE else Service.DISCHARGE
    lines = chain(POINTS, service, size=size), chain(aside, other, size="7/8" if other is Service.LIQUID else "1-5/8")
    made = job(*map(cold, lines), refrigerant=refrigerant, conditions=LOAD_HEAT, heat_exchange=True)
    return solve(made).circuits[0].lines[0]


@pytest.mark.parametrize("service", SERVICES)
@pytest.mark.parametrize("refrigerant", ["R134a", "R407C"])
def test_a_row_is_the_line_at_that_size_with_its_heat(refrigerant: str, service: Service) -> None:
    """A size loses heat of its own, which moves the flow that carries the load; that comes to rest within a thousandth.

    The column in uncut legs counts with the mean of their ends, where cold liquid grows denser along the leg by up to
    two per cent: half a hundredth of it at the most.
    """
    rows = swept(with_heat(refrigerant, service, "1-3/8"))
    for size in ("7/8", "1-1/8", "1-3/8", "1-5/8", "2-1/8", "2-5/8"):
        index, line = rows.sizes.index(size), with_heat(refrigerant, service, size)
        assert line.flow is not None
        assert line.legs is not None
        assert line.flow.passes_flow.all()
        expected = {
            "saturation_penalty_K": (line.flow.saturation_penalty_K.max(), 1e-3),
            "velocity_m_s": (line.legs.velocity_m_s.max(), 1e-3),
            "charge_kg": (line.flow.charge_kg.max(), 1e-3),
            "pressure_drop_Pa": (line.flow.drop_Pa.max(), 5e-3),
        }
        if service is Service.DISCHARGE:
            ratios = np.concatenate([line.legs.oil_return_ratio, line.legs.corner_ratio], axis=1)
            expected["oil_return_ratio"] = (np.nanmin(ratios), 1e-3)
        else:
            left_K = line.flow.outlet_subcooling_K.min()
            assert rows.outlet_subcooling_K[index] == pytest.approx(left_K, abs=0.005)
        for name, (value, within) in expected.items():
            assert getattr(rows, name)[index] == pytest.approx(value, rel=within), (size, name)


def test_velocity_upstream_of_a_fast_valve_excludes_by_its_own_rule() -> None:
    """The valve stands on the first leg, so that only there the lower limit holds."""
    valve = Part("s", "solenoid_valve")
    line = chain(POINTS, Service.LIQUID, parts={0: [valve]})

    def excluded(**overrides: float) -> str | None:
        rows = swept(solve(job(line, conditions=CONDITIONS, overrides=overrides)).circuits[0].lines[0])
        return rows.excluded_by[rows.sizes.index("1-3/8")]

    assert excluded() is None
    assert excluded(liquid_velocity_fast_valve_m_s=0.2) == "liquid_velocity_fast_valve_m_s"
    assert excluded(liquid_velocity_max_m_s=0.2) == "liquid_velocity_max_m_s"


def test_a_drain_is_excluded_by_its_velocity_and_not_by_subcooling() -> None:
    saturated = [condition(subcooling_K=0.0)]
    line = chain([(0.0, 0.0, 4.0), (0.0, 0.0, 3.0), (3.0, 0.0, 2.9)], Service.DRAIN, size="1-5/8")
    found = solve(job(line, conditions=saturated)).circuits[0].lines[0]
    rows = swept(found)
    assert set(rows.excluded_by) <= {None, "drain_velocity_m_s", "rating_temper", "flow_does_not_pass"}
    limit = practice_set("general").value("drain_velocity_m_s")
    for size, excluded, velocity in zip(rows.sizes, rows.excluded_by, rows.velocity_m_s, strict=True):
        if excluded in (None, "drain_velocity_m_s"):
            assert (excluded is None) == (velocity <= limit), size
    assert None in rows.excluded_by
    assert "drain_velocity_m_s" in rows.excluded_by


def first_broken(service: Service = Service.DISCHARGE, size: str = "1-5/8", **changes: Any) -> str | None:
    line = solve(job(chain(POINTS, service), conditions=CONDITIONS, **changes)).circuits[0].lines[0]
    return swept(line).excluded_by[swept(line).sizes.index(size)]


def test_each_discharge_limit_excludes_by_its_name_heaviest_first() -> None:
    """1-5/8 fits; a job's own limits put it out one after another, each in the presence of the ones before."""
    overrides: dict[str, float] = {}
    assert first_broken() is None
    for name, value in [
        ("discharge_velocity_max_m_s", 1.0),
        ("oil_return_margin_ratio", 4.9),
        ("discharge_penalty_K", 0.06),
    ]:
        overrides[name] = value
        assert first_broken(overrides=overrides) == name
    assert first_broken(overrides=overrides, maximum_pressure_Pa=1.9e7) == "rating_temper"
    overrides["oil_return_stop_ratio"] = 2.9
    assert first_broken(overrides=overrides, maximum_pressure_Pa=1.9e7) == "oil_return_stop_ratio"
    assert first_broken(size="3/8", overrides=overrides) == "flow_does_not_pass"


def test_each_liquid_limit_excludes_by_its_name_heaviest_first() -> None:
    overrides: dict[str, float] = {}
    assert first_broken(Service.LIQUID, "1-1/8") is None
    for name, value in [
        ("liquid_velocity_max_m_s", 0.2),
        ("liquid_margin_at_valve_K", 8.0),
        ("liquid_penalty_K", 0.06),
    ]:
        overrides[name] = value
        assert first_broken(Service.LIQUID, "1-1/8", overrides=overrides) == name
    assert first_broken(Service.LIQUID, "1-1/8", overrides=overrides, maximum_pressure_Pa=1.9e7) == "rating_temper"
    overrides["liquid_margin_stop_K"] = 19.0
    found = first_broken(Service.LIQUID, "1-1/8", overrides=overrides, maximum_pressure_Pa=1.9e7)
    assert found == "liquid_margin_stop_K"


def test_liquid_is_judged_without_its_parts() -> None:
    """A solenoid valve costs subcooling, which the margin counts, not the tube's penalty."""
    valve = Part("s", "solenoid_valve", loss=PartLoss(drop_Pa=40e3))
    line = chain([ORIGIN, (5.0, 0.0, 0.0)], Service.LIQUID, parts={0: [valve]})
    rows = swept(solve(job(line, conditions=CONDITIONS)).circuits[0].lines[0])
    index = rows.sizes.index("1-5/8")
    assert rows.saturation_penalty_K[index] > practice_set("general").value("liquid_penalty_K")
    assert rows.excluded_by[index] is None


def test_tube_mass_and_catalogue() -> None:
    catalogue = tube_catalogue("EN-12735-1")
    line = chain(POINTS, tube="EN-12735-1", size="42x1.5")
    rows = swept(solve(job(line)).circuits[0].lines[0])
    assert rows.sizes == catalogue.size_names
    np.testing.assert_allclose(rows.tube_mass_kg, catalogue.masses_kg_m * (9.0 + 14.0 + 5.0 + 6.0), rtol=1e-12)
    np.testing.assert_allclose(rows.inner_diameter_m, catalogue.inside_diameters_m)


def with_joint(joint: Joint) -> Line:
    plain = chain([ORIGIN, (5.0, 0.0, 0.0)])
    leg = plain.legs[0]
    return Line("gas", plain.service, plain.nodes, (Leg(leg.id, leg.start, leg.end, size=leg.size, joint=joint),))


def test_brazing_takes_the_annealed_rating() -> None:
    brazed, mechanical = (
        swept(solve(job(with_joint(joint))).circuits[0].lines[0]).allowable_gauge_Pa
        for joint in (Joint.BRAZED, Joint.MECHANICAL)
    )
    assert (mechanical > 1.5 * brazed).all()


def test_a_listed_rating_replaces_the_computed_one() -> None:
    line = chain(POINTS, listed_rating_Pa=5.5e6)
    rows = swept(solve(job(line, refrigerant="R410A", conditions=CONDITIONS)).circuits[0].lines[0])
    assert (rows.allowable_gauge_Pa == 5.5e6).all()
    assert "rating_temper" not in rows.excluded_by


def test_a_size_that_is_just_strong_enough_is_let_through() -> None:
    """The pressure that stands in the line may come up to the allowable one, and not a pascal further."""

    def verdict(above_Pa: float) -> str | None:
        line = chain([ORIGIN, (5.0, 0.0, 0.0)], listed_rating_Pa=3e6)
        maximum = 3e6 + STANDARD_ATMOSPHERE_Pa + above_Pa
        rows = swept(solve(job(line, maximum_pressure_Pa=maximum)).circuits[0].lines[0])
        return rows.excluded_by[rows.sizes.index("1-5/8")]

    assert verdict(-1.0) is None
    assert verdict(1.0) == "rating_temper"


def test_every_exclusion_has_its_word_and_its_rule() -> None:
    assert exclusion_word(None) == "fits"
    rules = {rule.name for rule in practice_set("general").rules}
    for rule in SHORT_WORDS:
        assert exclusion_word(rule).startswith("out: ")
    assert set(SHORT_WORDS) - {"flow_does_not_pass"} <= rules
