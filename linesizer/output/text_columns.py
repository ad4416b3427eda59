"""Rows of text as columns, for a terminal."""

from __future__ import annotations

from collections.abc import Sequence

WIDTH = 100
"""Characters that a line of text takes at most; tables may be wider."""


def table_text(rows: Sequence[Sequence[str]], left: tuple[int, ...] = (0,)) -> str:
    """Return rows as columns two spaces apart, figures to the right, those of ``left`` to the left."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join(
        "  ".join(
            cell.ljust(width) if column in left else cell.rjust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )
