"""Rules of law that begin at a charge: told with charge, threshold, date and source, and never judged as met."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.catalog.rules import ChargeThreshold, Measure, ThresholdStep, charge_thresholds
from linesizer.checks.context import CircuitView
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.properties.facts import RefrigerantFacts
from linesizer.properties.library import facts
from linesizer.units import Kind

WORDS = (
    "The charge of {charge} {reach} {threshold} of {rule}, in force since {since}: here {limit} of {refrigerant}. It "
    "asks for {asks}. {beside} It may apply: check your local code."
)
COUNTS = {
    Measure.CHARGE: "the {at} {unit}",
    Measure.CO2_EQUIVALENT: "the {at} {unit} of CO2 equivalent (GWP {gwp}, {edition})",
    Measure.COMPONENTS: "the {at} {unit} of {components} ({share} % of the refrigerant)",
}
REACHES = "reaches"
MAY_REACH = "stays just below, but within its band may reach"


def charge_rules(view: CircuitView) -> Iterator[Finding]:
    """Yield a note for each rule whose threshold the charge reaches, at the highest step that it reaches."""
    total, high = view.charge.total_kg, view.charge.high_kg
    if total is None:
        return
    known = facts(view.circuit.refrigerant, view.circuit.blend)
    for rule in charge_thresholds():
        if not rule.covers(known.mass_fractions.value, known.gwp.value):
            continue
        each = rule.counted(known.mass_fractions.value, known.gwp.value)
        most = total if high is None else max(total, high)
        reached = [step for step in rule.steps if total * each >= step.at_kg]
        near = [step for step in rule.steps if most * each >= step.at_kg]
        if reached:
            yield _found(view, rule, reached[-1], known, each, total, REACHES)
        elif near:
            yield _found(view, rule, near[-1], known, each, total, MAY_REACH)


def _found(
    view: CircuitView,
    rule: ChargeThreshold,
    step: ThresholdStep,
    known: RefrigerantFacts,
    each: float,
    total_kg: float,
    reach: str,
) -> Finding:
    limit_kg = step.at_kg / each
    rate = rule.leak_rates.get(view.circuit.use.value)
    return Finding(
        code="charge_threshold",
        level=Level.NOTE,
        title=f"{rule.title} may apply from {step.at:g} {rule.unit} on",
        words=WORDS,
        circuit=view.circuit.id,
        kind=Kind.MASS,
        value=total_kg,
        limit=limit_kg,
        rule=f"{rule.title}, in force since {rule.since.isoformat()}",
        source=_source(rule, known),
        figures=(
            ("charge", Figure(Kind.MASS, total_kg)),
            ("reach", reach),
            ("threshold", _threshold(rule, step, known, each)),
            ("rule", rule.title),
            ("since", rule.since.isoformat()),
            ("limit", Figure(Kind.MASS, limit_kg)),
            ("refrigerant", known.name),
            ("asks", step.asks if rate is None else step.asks.format(rate=f"{100.0 * rate:g} %")),
            ("beside", rule.beside),
        ),
    )


def _threshold(rule: ChargeThreshold, step: ThresholdStep, known: RefrigerantFacts, each: float) -> str:
    held = [name for name in rule.components if name in known.mass_fractions.value]
    return COUNTS[rule.measure].format(
        at=f"{step.at:g}",
        unit=rule.unit,
        gwp=f"{known.gwp.value:g}",
        edition=known.gwp_edition,
        components=" and ".join(held),
        share=f"{100.0 * each:.4g}",
    )


def _source(rule: ChargeThreshold, known: RefrigerantFacts) -> str:
    text = f"{rule.source} ({rule.status})"
    if rule.measure is Measure.COMPONENTS:
        text += f"; composition: {known.mass_fractions.source} ({known.mass_fractions.status})"
    elif rule.measure is Measure.CO2_EQUIVALENT or rule.gwp_above is not None:
        text += f"; GWP: {known.gwp.source} ({known.gwp.status})"
    return text
