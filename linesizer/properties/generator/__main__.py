"""Command line of the generator: ``python -m linesizer.properties.generator [NAME ...] [--to DIR]``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.properties.generator.generate import generate_all
from linesizer.properties.generator.recipe import RECIPES
from linesizer.properties.library import FOLDER, unknown


def main(arguments: list[str] | None = None) -> int:
    """Write the named tables, or all; return 0, or 2 if one cannot be written."""
    parser = argparse.ArgumentParser(
        prog="python -m linesizer.properties.generator", description="Write refrigerant tables from CoolProp."
    )
    parser.add_argument("names", nargs="*", metavar="NAME", help="refrigerants; all of them if none is named")
    parser.add_argument("--to", type=Path, default=resource(FOLDER), metavar="DIR", help="folder to write into")
    given = parser.parse_args(arguments)
    try:
        for name in given.names:
            if name not in RECIPES:
                raise unknown(name)
        given.to.mkdir(parents=True, exist_ok=True)
        recipes = [RECIPES[name] for name in given.names or RECIPES]
        generate_all(recipes, given.to, lambda line: print(line, flush=True))  # noqa: T201  (a command line prints)
    except UserError as error:
        print(error, file=sys.stderr)  # noqa: T201
        return 2
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
