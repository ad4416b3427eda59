"""What is proposed for a line as text for a terminal: the sentence, figures against limits, what lies beside it."""

from __future__ import annotations

import textwrap

import numpy as np

from linesizer.catalog.practice import PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.job import Site
from linesizer.domain.proposal import Combination, SizeProposal
from linesizer.domain.route import Line
from linesizer.output.proposal_words import (
    AIMS,
    NOT_FOUND,
    builds_words,
    effective,
    exclusion_words,
    figure_columns,
    figures_words,
    proposal_sentence,
    why_no_figure,
)
from linesizer.output.text_columns import WIDTH, table_text
from linesizer.units import System

MOST_ROWS = 8
"""Rows of the front that a terminal shows; the whole of it is in the JSON."""


def proposal_text(
    proposal: SizeProposal | None, line: Line, circuit: Circuit, site: Site, practice: PracticeSet, system: System
) -> str:
    """Return what is proposed for a line.

    Parameters
    ----------
    proposal : SizeProposal, optional
        None where nothing could be proposed.
    line, circuit, site : Line, Circuit, Site
        What it is for.
    practice : PracticeSet
        The limits.
    system : {"si", "ip"}
        Units of the text.
    """
    if proposal is None:
        return textwrap.fill(NOT_FOUND.format(line=line.id), WIDTH)
    blocks = []
    gap = why_no_figure(proposal.objective, line, circuit, site)
    if gap is not None and proposal.fits:
        blocks.append(_filled(f"{AIMS[proposal.objective].capitalize()} has no figure here. {gap}"))
    blocks.append(_filled(proposal_sentence(line, proposal, practice, system)))
    blocks.append(
        _filled(f"Worst of all conditions: {', '.join(figures_words(line, proposal.chosen, practice, system))}.")
    )
    blocks += [_filled(words) for words in exclusion_words(proposal, system) if words]
    if len(proposal.front) > 1:
        blocks.append(_front_text(proposal, line, practice, system))
    return "\n".join(blocks)


def _front_text(proposal: SizeProposal, line: Line, practice: PracticeSet, system: System) -> str:
    rows = shown_front(proposal)
    some = "" if len(rows) == len(proposal.front) else f" ({len(rows)} of {len(proposal.front)})"
    columns = figure_columns(line.service, proposal.front[0])
    cells = [["", *(column.head(system) for column in columns), "sizes"]]
    for one in rows:
        mark = "<" if one.sizes == proposal.chosen.sizes else ""
        texts = [column.text(one, system) for column in columns]
        cells.append([mark, *texts, builds_words(line, one, practice, system, seals=False)])
    marked = f"; < {AIMS[effective(proposal)]}" if any(row[0] for row in cells) else ""
    head = f"Tube against penalty: each meets every limit and is better than the others in one of both{some}{marked}"
    return head + "\n" + table_text(cells, left=(0, len(columns) + 1))


def shown_front(proposal: SizeProposal) -> tuple[Combination, ...]:
    """Return the front, thinned out evenly where it is long; its ends and what was chosen stay."""
    front = proposal.front
    if len(front) <= MOST_ROWS:
        return front
    places = set(np.linspace(0, len(front) - 1, MOST_ROWS).round().astype(int).tolist())
    return tuple(one for place, one in enumerate(front) if place in places or one.sizes == proposal.chosen.sizes)


def _filled(words: str) -> str:
    return textwrap.fill(words, WIDTH, subsequent_indent="  ")
