"""Straight runs that grow as they warm: whether the bend behind them is long enough to give way."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.catalog.allowable_stress import allowable_stress_Pa, stress_table
from linesizer.catalog.tubes import Material, TubeCatalogue
from linesizer.checks.context import CircuitView
from linesizer.checks.making import by_rule
from linesizer.checks.naming import listed
from linesizer.domain.finding import Figure, Finding
from linesizer.domain.geometry import SAME_PLACE_M, line_geometry
from linesizer.domain.result import LineResult
from linesizer.solver.circuit_flow import CALCULATED_SERVICES
from linesizer.solver.growth import STEEL_EXPANSION_1_K, STEEL_MODULUS_Pa, offset_length, thermal_growth
from linesizer.solver.route_losses import LineTubes, line_tubes
from linesizer.solver.straight_runs import StraightRun, straight_runs
from linesizer.units import Kind

WORDS = (
    "The straight run of {legs} in line {line}, {length}, grows by {value} from {installed} to {hot}; practice lets "
    "{limit} go without an offset. The leg behind the next bend has to give way over at least {needed}, and the "
    "longest there has {has}. Leave that length free of clamps, or build in an offset or a loop; clamps on the run "
    "let it slide. Forces on anchors and connections are not judged."
)


def growth(view: CircuitView) -> Iterator[Finding]:
    """Yield a finding for each straight run that grows more than the bends at its ends can take up."""
    installed = view.practice.value("growth_install_temperature_C")
    for result in view.lines:
        if result.line.service not in CALCULATED_SERVICES or not result.line.legs:
            continue
        tubes = line_tubes(result.line)
        if tubes is None:
            continue
        hot = view.rating_temperature_C(result.line.service)
        lengths = [leg.length_m for leg in line_geometry(result.line).legs]
        expansions = [_expansion_1_K(view, catalogue) for catalogue in tubes.catalogues]
        longer = thermal_growth(lengths, expansions, hot - installed).tolist()
        limit = view.practice.value("growth_without_offset_m")
        for run in straight_runs(result.line):
            grown = sum(longer[place] for place in run.places)
            if grown > limit:
                yield from _grows(view, result, tubes, run, grown)


def _grows(
    view: CircuitView, result: LineResult, tubes: LineTubes, run: StraightRun, longer: float
) -> Iterator[Finding]:
    practice = view.practice
    installed, hot = practice.value("growth_install_temperature_C"), view.rating_temperature_C(result.line.service)
    needed = max(
        float(offset_length(longer, size.outside_diameter_m, *_stiffness_Pa(view, tubes.catalogues[place], hot)))
        for place in run.places
        for size in tubes.sizes[place]
    )
    if run.offset_m >= needed - SAME_PLACE_M:
        return
    names = [leg.leg.id for leg in run.legs]
    yield by_rule(
        view,
        "growth_without_offset_m",
        code="growth",
        title=f"{names[0]}: a straight run without room to grow",
        words=WORDS,
        line=result.line.id,
        leg=names[0],
        kind=Kind.SMALL_LENGTH,
        value=longer,
        limit=practice.value("growth_without_offset_m"),
        legs=f"{'leg' if len(names) == 1 else 'legs'} {listed(names)}",
        length=Figure(Kind.LENGTH, run.length_m),
        installed=Figure(Kind.TEMPERATURE, installed),
        hot=Figure(Kind.TEMPERATURE, hot),
        needed=Figure(Kind.LENGTH, needed),
        has=Figure(Kind.LENGTH, run.offset_m),
    )


def _expansion_1_K(view: CircuitView, catalogue: TubeCatalogue) -> float:
    copper = catalogue.material is Material.COPPER
    return view.practice.value("growth_expansion_1_K") if copper else STEEL_EXPANSION_1_K


def _stiffness_Pa(view: CircuitView, catalogue: TubeCatalogue, hot_C: float) -> tuple[float, float]:
    """Return modulus and allowed stress: practice's for copper, those of the metal for steel, [Pa]."""
    if catalogue.material is Material.COPPER:
        return view.practice.value("offset_modulus_Pa"), view.practice.value("offset_stress_Pa")
    bearable_C = min(hot_C, stress_table(catalogue.temper).highest_C)
    return STEEL_MODULUS_Pa, float(allowable_stress_Pa(catalogue.temper, bearable_C))
