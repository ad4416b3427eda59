"""Generates tables: build, check, write."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from linesizer.properties.generator.build import build
from linesizer.properties.generator.checks import require_physical
from linesizer.properties.generator.equation import UntrustworthyTableError
from linesizer.properties.generator.recipe import Recipe
from linesizer.properties.generator.table_file import to_text, write
from linesizer.properties.generator.verify import require_accurate, verify_table
from linesizer.properties.table import RefrigerantTable

PROCESSES = 2
CHECKED_STATES = 60


def generate(recipe: Recipe, folder: Path) -> Path:
    """Write one refrigerant's table into a folder and return the file's path.

    Raises
    ------
    UntrustworthyTableError
        If CoolProp fails, or the table is not physical or not accurate; then nothing is written.
    """
    try:
        data = build(recipe)
        table = RefrigerantTable(json.loads(to_text(data)))
        require_physical(table)
        require_accurate(recipe.name, verify_table(table, recipe, CHECKED_STATES))
    except (ValueError, ArithmeticError) as error:  # what CoolProp and numpy say when they find no answer
        raise UntrustworthyTableError(recipe.name, f"CoolProp gives no answer ({error})") from error
    return write(data, folder)


def generate_all(recipes: Sequence[Recipe], folder: Path, report: Callable[[str], None]) -> None:
    """Write several tables, two at a time, and report each."""
    if len(recipes) == 1:
        report(_line(generate(recipes[0], folder)))
        return
    with ProcessPoolExecutor(PROCESSES) as pool:
        for path in pool.map(partial(generate, folder=folder), recipes):
            report(_line(path))


def _line(path: Path) -> str:
    return f"{path.stem}: {path.stat().st_size / 1000:.0f} kB in {path}"
