"""What checking many files gave, as a table for a terminal and as JSON for a script."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from linesizer.domain.finding import Level
from linesizer.output.check_files import CheckedFile
from linesizer.output.size_table import CAUTION, LEVEL_WORDS, findings_text
from linesizer.output.text_columns import WIDTH, table_text
from linesizer.units import System

BAD = "ERROR"
MOST_BRIEF = 72


def check_report(files: Sequence[CheckedFile], system: System) -> str:
    """Return a row for each file, the findings of those that hold them, and a count of all."""
    rows = [["", "stop", "decide", "note", "file", "heaviest finding"]]
    rows += [_row(file) for file in files]
    blocks = [table_text(rows, left=(0, 4, 5))]
    blocks += [findings_text(file.findings, system) for file in files if file.findings]
    own = [f"{' and '.join(file.own)} in {file.path}" for file in files if file.own]
    if own:
        blocks.append("\n".join(["Blends of somebody's own, not shipped refrigerants:", *own]))
    blocks.append(_summary(files))
    blocks.append(textwrap.fill(CAUTION, WIDTH))
    return "\n\n".join(blocks) + "\n"


def check_json(files: Sequence[CheckedFile]) -> str:
    """Return the same for a script: each file's own text, as checking it made it."""
    return '{"files": [\n' + ",\n".join(file.json_text for file in files) + "\n]}\n"


def _row(file: CheckedFile) -> list[str]:
    brief = textwrap.shorten(file.brief, MOST_BRIEF, placeholder=" ...")
    if file.error is not None:
        return [BAD, "–", "–", "–", file.path, brief]
    word = "" if file.worst is None else LEVEL_WORDS[file.worst]
    return [word, str(file.stops), str(file.warns), str(file.notes), file.path, brief]


def _summary(files: Sequence[CheckedFile]) -> str:
    bad = sum(file.error is not None for file in files)
    stopped = sum(file.worst is Level.STOP for file in files)
    decide = sum(file.worst is Level.WARN for file in files)
    parts = [
        f"{stopped} with a stop",
        f"{decide} for a person to decide",
        f"{len(files) - bad - stopped - decide} else",
    ]
    if bad:
        parts.insert(0, f"{bad} that cannot be used")
    return f"{len(files)} file{'s' if len(files) != 1 else ''}: {', '.join(parts)}."
