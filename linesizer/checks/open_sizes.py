"""What the sizing did for legs without a size: what was taken, or what excludes what and what would help."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.checks.context import CircuitView
from linesizer.checks.naming import listed
from linesizer.checks.size_exclusions import exclusion_sentences, way_out
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.proposal import Combination, SizeProposal
from linesizer.domain.remedy import UseSizes
from linesizer.domain.result import LineResult
from linesizer.domain.route import DoubleRiser
from linesizer.units import Kind

RULE = "sizing"
SOURCE = "this program: all combinations of a size for level, climbing and falling legs, at all conditions"

TAKEN_WORDS = (
    "The job leaves {what} of line {line} open; the figures here are for {sizes}, the least mass of tube ({mass}) of "
    "{count} combinations that meets every limit at every condition. Use these sizes, or state others."
)
NOTHING_WORDS = (
    "The job leaves {what} of line {line} open, and none of {count} combinations meets every limit at every condition. "
    "The figures here are for {sizes}, which come nearest. "
)
NO_FLOW_WORDS = (
    "The job leaves sizes of line {line} open, and in no size of its tube can the flow pass. Choose a tube with larger "
    "sizes, split the load over several circuits, or look for a slip in the conditions or lengths."
)


def open_sizes(view: CircuitView) -> Iterator[Finding]:
    """Yield what became of the lines whose sizes the job leaves open."""
    for result in view.lines:
        if result.proposal is not None:
            yield _taken(view, result.proposal) if result.proposal.fits else _nothing(view, result.proposal)
        elif _is_stuck(view, result):
            yield Finding(
                code="no_size_passes",
                level=Level.STOP,
                title=f"{result.line.id}: no size passes the flow",
                words=NO_FLOW_WORDS,
                circuit=view.circuit.id,
                line=result.line.id,
                rule=RULE,
                source=SOURCE,
                figures=(("line", result.line.id),),
            )


def _is_stuck(view: CircuitView, result: LineResult) -> bool:
    works = view.flow.works(result.line.id)
    return bool(works) and bool(result.line.legs) and any(work.tubes is None for work in works)


def _taken(view: CircuitView, proposal: SizeProposal) -> Finding:
    return Finding(
        code="sized",
        level=Level.NOTE,
        title=f"{proposal.line}: sized by the program",
        words=TAKEN_WORDS,
        circuit=view.circuit.id,
        line=proposal.line,
        kind=Kind.MASS,
        value=proposal.chosen.tube_mass_kg,
        rule=RULE,
        source=SOURCE,
        figures=(*_common(proposal), ("mass", Figure(Kind.MASS, proposal.chosen.tube_mass_kg))),
        remedy=UseSizes(proposal.line, proposal.chosen.sizes),
    )


def _nothing(view: CircuitView, proposal: SizeProposal) -> Finding:
    excluded, out = exclusion_sentences(proposal.exclusions), way_out(proposal.exclusions)
    return Finding(
        code="no_size_fits",
        level=Level.WARN,
        title=f"{proposal.line}: no sizes meet every limit",
        words=NOTHING_WORDS + " ".join(said.words for said in (excluded, out) if said is not None),
        circuit=view.circuit.id,
        line=proposal.line,
        rule=RULE,
        source=SOURCE,
        figures=(*_common(proposal), *excluded.figures, *(out.figures if out is not None else ())),
        remedy=UseSizes(proposal.line, proposal.chosen.sizes),
    )


def _common(proposal: SizeProposal) -> tuple[tuple[str, Figure | str], ...]:
    legs = proposal.open_legs
    return (
        ("line", proposal.line),
        ("what", f"the size of {legs[0]}" if len(legs) == 1 else f"the sizes of {len(legs)} legs"),
        ("count", f"{proposal.combinations:,}"),
        ("sizes", sizes_text(proposal.chosen)),
    )


def sizes_text(combination: Combination) -> str:
    """Return a combination in words, each size with its legs: ``1-3/8 (d1, d2) and 1-5/8 (d3)``."""
    by_size: dict[str, list[str]] = {}
    for leg, build in combination.sizes:
        name = f"double riser {build.small} + {build.large}" if isinstance(build, DoubleRiser) else build
        by_size.setdefault(name, []).append(leg)
    return listed([f"{name} ({', '.join(legs)})" for name, legs in by_size.items()])
