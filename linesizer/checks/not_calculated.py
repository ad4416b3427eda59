"""What a job states and this version does not calculate yet: said plainly, never guessed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from linesizer.domain.circuit import Circuit, HeadPressureControlKind
from linesizer.domain.equipment import Role
from linesizer.domain.finding import Finding, Level
from linesizer.domain.geometry import Shape, line_geometry
from linesizer.domain.route import Line, LineEnd, Service

CALCULATED_SERVICES = (Service.DISCHARGE, Service.LIQUID)

LINE_LEFT_EMPTY = "is not calculated yet by this version; the line's figures are left empty."
LEFT_OUT = "is not calculated yet by this version; the figures here leave it out. Do not build by them."


@dataclass(frozen=True, slots=True)
class Gap:
    """Something stated that is not calculated: where, what, and whether the line's figures fall away with it."""

    line: str | None
    leg: str | None
    what: str
    whole_line: bool


def line_gaps(line: Line) -> tuple[Gap, ...]:
    """Return what keeps a line from being calculated; empty where nothing does."""
    geometry = line_geometry(line)
    gaps = []
    if line.service not in CALCULATED_SERVICES:
        gaps.append(Gap(line.id, None, f"Line {line.id} is a {line.service.value} line, which", True))
    if geometry.shape in (Shape.SPREADS, Shape.GATHERS):
        gaps.append(Gap(line.id, None, f"Line {line.id} branches; the split of its flow", True))
    for leg in line.legs:
        if leg.double_riser is not None:
            gaps.append(Gap(line.id, leg.id, f"Leg {leg.id} is a double riser, which", True))
        elif leg.size is None and line.default_size is None:
            gaps.append(Gap(line.id, leg.id, f"Leg {leg.id} has no size; sizing by the program", True))
            break
    return tuple(gaps)


def circuit_gaps(circuit: Circuit) -> tuple[Gap, ...]:
    """Return what a circuit states beside its lines that is not calculated."""
    gaps = []
    if circuit.heat_exchange:
        gaps.append(Gap(None, None, "Heat exchange of the lines with their surroundings", False))
    if circuit.head_pressure_control.kind is HeadPressureControlKind.FLOODING:
        gaps.append(Gap(None, None, "The extra charge of a condenser that floods in winter", False))
    ends = {end.equipment: (line, end) for line in circuit.lines for end in line.ends if _is_last(line, end)}
    for equipment in circuit.equipment:
        held = ends.get(equipment.id)
        if equipment.role is Role.RECEIVER and held is not None and held[0].service is Service.LIQUID:
            name = equipment.name or equipment.id
            gaps.append(Gap(held[0].id, None, f"Receiver {name} at the end of a liquid line", False))
        if equipment.role is Role.SUBCOOLER:
            gaps.append(Gap(None, None, f"Subcooler {equipment.name or equipment.id}", False))
    condensers = [e for e in circuit.equipment if e.role is Role.CONDENSER]
    if len(condensers) > 1:
        gaps.append(Gap(None, None, f"The split of the flow over {len(condensers)} condensers", False))
    return tuple(gaps)


def not_calculated(circuit: Circuit) -> Iterator[Finding]:
    """Yield a stop for everything that the job states and this version does not calculate."""
    for gap in (*circuit_gaps(circuit), *(gap for line in circuit.lines for gap in line_gaps(line))):
        yield Finding(
            code="not_calculated",
            level=Level.STOP,
            title=f"{gap.leg or gap.line or circuit.title}: not calculated yet",
            # The person's own names go in as a figure: they may hold braces.
            words=f"{{what}} {LINE_LEFT_EMPTY if gap.whole_line else LEFT_OUT}",
            circuit=circuit.id,
            line=gap.line,
            leg=gap.leg,
            rule="scope of this version",
            source="this program",
            figures=(("what", gap.what),),
        )


def _is_last(line: Line, end: LineEnd) -> bool:
    return end.node in line_geometry(line).sinks
