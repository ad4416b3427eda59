"""What a job states and this version does not calculate yet: said plainly, never guessed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linesizer.domain.circuit import Circuit
from linesizer.domain.condenser_paths import branch_problem
from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.equipment import Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.route import Line, Service

CALCULATED_SERVICES = (Service.DISCHARGE, Service.LIQUID, Service.DRAIN)

LINE_LEFT_EMPTY = "is not calculated yet by this version; the line's figures are left empty."
LEFT_OUT = "is not calculated yet by this version; the figures here leave it out. Do not build by them."


BRANCH_REMEDY = (
    "A discharge line spreads to condensers, a liquid or drain line gathers from them: tie each of its ends to another "
    "one, or draw it as several lines."
)


@dataclass(frozen=True, slots=True)
class Gap:
    """Something stated that is not calculated: where, what, whether the line's figures go with it, the way out."""

    line: str | None
    leg: str | None
    what: str
    whole_line: bool
    remedy: str = ""


def line_gaps(circuit: Circuit, line: Line) -> tuple[Gap, ...]:
    """Return what keeps a line of a circuit from being calculated; empty where nothing does."""
    gaps = []
    if line.service not in CALCULATED_SERVICES:
        gaps.append(Gap(line.id, None, f"Line {line.id} is a {line.service.value} line, which", True))
    elif (problem := branch_problem(circuit, line)) is not None:
        gaps.append(Gap(line.id, None, f"Line {line.id} {problem}; the split of its flow", True, BRANCH_REMEDY))
    for leg in line.legs:
        if leg.double_riser is not None and line.service is not Service.DISCHARGE:
            gaps.append(Gap(line.id, leg.id, f"Leg {leg.id}, a double riser of a {line.service.value} line,", True))
    return tuple(gaps)


def circuit_gaps(circuit: Circuit) -> tuple[Gap, ...]:
    """Return what a circuit states beside its lines that is not calculated."""
    gaps = []
    measured = all(c.subcooling_at is SubcoolingAt.LIQUID_LINE for c in circuit.conditions)
    for equipment in circuit.equipment:
        if equipment.role is Role.SUBCOOLER and not measured:
            name = equipment.name or equipment.id
            gaps.append(Gap(None, None, f"What subcooler {name} does before the liquid line", False))
    return tuple(gaps)


def not_calculated(circuit: Circuit) -> Iterator[Finding]:
    """Yield a stop for everything that the job states and this version does not calculate."""
    for gap in (*circuit_gaps(circuit), *(gap for line in circuit.lines for gap in line_gaps(circuit, line))):
        yield Finding(
            code="not_calculated",
            level=Level.STOP,
            title=f"{gap.leg or gap.line or circuit.title}: not calculated yet",
            # The person's own names go in as a figure: they may hold braces.
            words=f"{{what}} {LINE_LEFT_EMPTY if gap.whole_line else LEFT_OUT}{gap.remedy and f' {gap.remedy}'}",
            circuit=circuit.id,
            line=gap.line,
            leg=gap.leg,
            rule="scope of this version",
            source="this program",
            figures=(("what", gap.what),),
        )
