"""Rows of a spreadsheet as legs, with everything wrong with them listed by row before anything happens."""

from __future__ import annotations

import re
from dataclasses import dataclass

from linesizer.catalog.tubes import tube_catalogue, tube_ids
from linesizer.document.commands.draw import LegRow
from linesizer.document.direction import Direction, scaled
from linesizer.document.typed_route import typed_runs
from linesizer.document.typed_size import typed_double_riser
from linesizer.domain.geometry import SAME_PLACE_M
from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, Joint, Line, Point
from linesizer.errors import UserError
from linesizer.ui.panels.leg_columns import Column
from linesizer.ui.panels.leg_edits import typed_offset
from linesizer.units import Kind, System, parse

MOST_ROWS = 1000

_NAMES = {column.value: column for column in Column} | {
    "dir": Column.DIRECTION,
    "run": Column.LENGTH,
    "od": Column.SIZE,
    "diameter": Column.SIZE,
    "room": Column.PLACE,
    "slope": Column.FALL,
}
_TAKEN = (
    Column.DIRECTION,
    Column.LENGTH,
    Column.SIZE,
    Column.TUBE,
    Column.PLACE,
    Column.INSULATION,
    Column.JOINT,
    Column.FALL,
)
_WITHOUT_HEADS = (Column.DIRECTION, Column.LENGTH, Column.SIZE, Column.PLACE)
_LEFT_OUT = (Column.FITTING, Column.PARTS)
_UNIT = re.compile(r"^(?P<word>[^,(\[]*)[,(\[]\s*(?P<unit>[^)\]]*)[)\]]?\s*$")
_BARE = re.compile(r"[\d\s.,/+-]+")


@dataclass(frozen=True, slots=True)
class Pasted:
    """What a clipboard holds: the legs, or everything that keeps them from being drawn, each with its row.

    ``left_out`` names columns that hold something and are not taken over.
    """

    rows: tuple[LegRow, ...]
    problems: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def pasted_rows(text: str, job: Job, line: Line, system: System) -> Pasted:
    """Return the legs that rows of a spreadsheet describe.

    The first row may hold heads (``direction``, ``length, ft``, ``size``, ``tube``, ``place``, ``insulation``,
    ``joint``, ``fall``, in any order); without heads the columns are direction, length, size, place.  A row of one
    cell is read as runs are typed: ``U 3.4; E 6``.

    Parameters
    ----------
    text : str
        Rows with tabs between their cells.
    job : Job
        Whose rooms are places.
    line : Line
        Whose tube the sizes belong to where a row names none.
    system : {"si", "ip"}
        Unit of numbers that stand alone under a head without a unit.
    """
    table = [[cell.strip() for cell in row.split("\t")] for row in text.splitlines()]
    numbered = [(number, row) for number, row in enumerate(table, 1) if any(row)]
    if not numbered:
        return Pasted((), ("The clipboard holds no rows.",))
    heads = _heads(numbered[0][1])
    if heads is not None:
        numbered = numbered[1:]
        if not numbered:
            return Pasted((), ("The clipboard holds heads, but no row beneath them.",))
        if not {Column.DIRECTION, Column.LENGTH} <= {column for column, _ in heads if column is not None}:
            return Pasted((), ("The heads name no direction and length; a leg needs both.",))
    if len(numbered) > MOST_ROWS:
        return Pasted((), (f"There are {len(numbered)} rows; {MOST_ROWS} are the most at once.",))
    rows: list[LegRow] = []
    problems: list[str] = []
    left_out: dict[str, None] = {}
    for number, row in numbered:
        try:
            if heads is None and sum(bool(cell) for cell in row) == 1:
                rows += [LegRow(run.offset_m) for run in typed_runs("".join(row), system)]
                continue
        except UserError as error:
            problems.append(f"Row {number}: {error.what} {error.why}")
            continue
        cells = _cells(row, heads)
        for column in _LEFT_OUT:
            if cells.get(column, ("", ""))[0]:
                left_out[column.value] = None
        found, wrong = _leg_row(cells, job, line, system)
        problems += [f"Row {number}: {reason}" for reason in wrong]
        if found is not None:
            rows.append(found)
    return Pasted(() if problems else tuple(rows), tuple(problems), tuple(left_out))


_Heads = list[tuple[Column | None, str]]
_Cells = dict[Column, tuple[str, str]]


def _heads(row: list[str]) -> _Heads | None:
    """Return each head's column and unit, None where the row holds no heads."""
    heads: _Heads = []
    for cell in row:
        match = _UNIT.match(cell)
        word, unit = (match["word"], match["unit"]) if match is not None else (cell, "")
        heads.append((_NAMES.get(word.strip().lower()), unit.strip()))
    known = sum(column is not None for column, _ in heads)
    return heads if known >= min(2, len(row)) and known > 0 else None


def _cells(row: list[str], heads: _Heads | None) -> _Cells:
    columns: _Heads = heads if heads is not None else [(column, "") for column in _WITHOUT_HEADS]
    return {column: (cell, unit) for (column, unit), cell in zip(columns, row, strict=False) if column is not None}


def _leg_row(cells: _Cells, job: Job, line: Line, system: System) -> tuple[LegRow | None, list[str]]:
    wrong: list[str] = []
    values: dict[Column, object] = {}
    for column in _TAKEN:
        text, unit = cells.get(column, ("", ""))
        if not text or column is Column.DIRECTION:
            continue
        try:
            values[column] = _value(column, text, unit, job, system)
        except UserError as error:
            wrong.append(f"{error.what} {error.why}")
    offset_m = _offset(cells, values, system, wrong)
    size, tube = values.get(Column.SIZE), values.get(Column.TUBE)
    riser: DoubleRiser | None = None
    if isinstance(size, str):
        own = str(tube) if tube else line.tube
        try:
            riser = typed_double_riser(size, own, system)
            if riser is None:
                tube_catalogue(own).find(size)
        except UserError as error:
            wrong.append(f"{error.what} {error.why}")
    if wrong or offset_m is None:
        return None, wrong
    return (
        LegRow(
            offset_m,
            size=size if isinstance(size, str) and riser is None else None,
            place=_text(values.get(Column.PLACE)),
            insulation_m=_number(values.get(Column.INSULATION)),
            joint=Joint(str(values[Column.JOINT])) if Column.JOINT in values else None,
            fall=_number(values.get(Column.FALL)) or 0.0,
            tube=_text(tube),
            double_riser=riser,
        ),
        [],
    )


def _value(column: Column, text: str, unit: str, job: Job, system: System) -> object:
    if column in (Column.LENGTH, Column.INSULATION, Column.FALL):
        kind = {Column.LENGTH: Kind.LENGTH, Column.INSULATION: Kind.SMALL_LENGTH, Column.FALL: Kind.SLOPE}[column]
        whole = f"{text} {unit}" if unit and _BARE.fullmatch(text) else text
        return parse(kind, whole, system, named=column.value.capitalize())
    if column is Column.PLACE:
        return _place(text, job)
    if column is Column.JOINT:
        words = tuple(joint.value for joint in Joint)
        return _one_of(text, {word: word for word in words}, "joint")
    if column is Column.TUBE:
        names = {name.lower(): name for name in tube_ids()}
        return _one_of(text, names | {tube_catalogue(name).label.lower(): name for name in tube_ids()}, "tube")
    return None if text.lower() == "open" else text


def _place(text: str, job: Job) -> str:
    words = {"indoor": "indoor", "outdoor": "outdoor"}
    for room in job.site.rooms:
        words |= {room.id.lower(): room.id, (room.name or room.id).lower(): room.id}
    return _one_of(text, words, "place")


def _one_of(text: str, words: dict[str, str], kind: str) -> str:
    found = words.get(text.strip().lower())
    if found is None:
        raise UserError(
            "PASTE-01",
            what=f'"{text}" is not a {kind} here.',
            why=f"Known: {', '.join(dict.fromkeys(words.values()))}.",
            remedy="Write one of these.",
        )
    return found


def _offset(cells: _Cells, values: dict[Column, object], system: System, wrong: list[str]) -> Point | None:
    """Return the row's offset, [m]; what is wrong with it goes to the list."""
    text = cells.get(Column.DIRECTION, ("", ""))[0]
    length_m = values.get(Column.LENGTH)
    if not text:
        wrong.append("There is no direction (N, E, S, W, U, D).")
        return None
    alone = next((d for d in Direction if text.strip().lower() in (d.value.lower(), d.word)), None)
    if alone is not None:
        if not isinstance(length_m, float):
            if not cells.get(Column.LENGTH, ("", ""))[0]:
                wrong.append(f"There is no length beside {alone.word}.")
            return None
        if length_m < SAME_PLACE_M:
            wrong.append(f"Its length is {length_m:g} m; a leg needs a length above {SAME_PLACE_M:g} m.")
            return None
        return scaled(alone.vector, length_m)
    try:
        return typed_offset(text, 0.0, system)
    except UserError as error:
        wrong.append(f"{error.what} {error.why}")
        return None


def _text(value: object) -> str | None:
    return value if isinstance(value, str) else None


def _number(value: object) -> float | None:
    return value if isinstance(value, float) else None
