"""A finding in the words of the list: level, place, source, and the text that is copied."""

from __future__ import annotations

from collections.abc import Iterable

from linesizer.domain.finding import Finding, Level
from linesizer.domain.job import Job
from linesizer.units import System

LEVEL_WORDS = {Level.STOP: "stop", Level.WARN: "decide", Level.NOTE: "note"}

CHECKED = (
    "Checked: that each line passes its flow; subcooling left where liquid lines end; oil return up the risers, at the "
    "corners of the load grid too; what friction, fittings and parts cost; velocities and surge; the tubes' rating, "
    "material and growth; liquid that can be shut in; heat, cut-out, valve pressure and a cold start; falls, traps, "
    "loops and check valves; receivers and flooding; the charge against rules that begin at an amount, and what a leak "
    "does in the smallest room; the unit maker's limits; that equipment states what it holds. What this version does "
    "not calculate would stand here as a stop."
)
CAUTION = "No findings is no approval: local codes, makers' instructions and licensed people decide."


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return findings with the heaviest first, in the order found within a level."""
    return tuple(sorted(findings, key=lambda finding: -finding.level.weight))


def counts(findings: Iterable[Finding]) -> str:
    """Return how many there are of each level: ``1 stop  2 to decide  3 notes``."""
    levels = [finding.level for finding in findings]
    stops, decisions, notes = (levels.count(level) for level in (Level.STOP, Level.WARN, Level.NOTE))
    words = (
        (stops, f"{stops} stop{'s' if stops != 1 else ''}"),
        (decisions, f"{decisions} to decide"),
        (notes, f"{notes} note{'s' if notes != 1 else ''}"),
    )
    return "  ".join(text for count, text in words if count) or "none"


def place(finding: Finding, job: Job) -> str:
    """Return where a finding is, and at which condition."""
    circuit = next((found for found in job.circuits if found.id == finding.circuit), None)
    words = []
    if circuit is not None and len(job.circuits) > 1:
        words.append(circuit.title)
    if finding.line is not None:
        words.append(f"line {finding.line}")
    if finding.leg is not None:
        words.append(f"leg {finding.leg}")
    if finding.condition is not None and circuit is not None:
        titles = [condition.title for condition in circuit.conditions if condition.id == finding.condition]
        words += [f"at {title}" for title in titles]
    return ", ".join(words)


def source(finding: Finding) -> str:
    """Return which rule says so, and whose it is."""
    return "; ".join(text for text in (finding.rule, finding.source) if text)


def copied(finding: Finding, job: Job, system: System) -> str:
    """Return a finding as text for a letter or a ticket."""
    lines = [f"{LEVEL_WORDS[finding.level].upper()}  {finding.title}", finding.message(system)]
    where = place(finding, job)
    lines += [where[:1].upper() + where[1:]] if where else []
    lines.append(f"[{source(finding)}]")
    return "\n".join(lines)
