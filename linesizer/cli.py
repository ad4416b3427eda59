"""The command line: each command reads, calls, prints."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from pathlib import Path

from linesizer import __version__
from linesizer.errors import UserError

DONE, FOUND_A_STOP, BAD_INPUT = 0, 1, 2


def main(argv: list[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    argv : list of str, optional
        Arguments without the program's name; the process's own by default.

    Returns
    -------
    int
        0 done, 1 a check found a stop, 2 bad input; errors go to standard error, with nothing on standard output.
    """
    parser = _parser()
    try:
        arguments = parser.parse_args(argv)
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else BAD_INPUT
    try:
        status: int = arguments.run(arguments)
    except UserError as error:
        print(f"linesizer: {error}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        # Whoever read the output has seen enough; Python must not complain about it at exit either.
        sys.stdout = None
        return DONE
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="linesizer",
        description="Refrigerant lines between an indoor unit and a remote condenser: drop, oil return, charge, sizes.",
    )
    parser.add_argument("--version", action="version", version=f"linesizer {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    size = commands.add_parser("size", help="calculate a job's lines and print what every tube size would give")
    size.add_argument("file", type=Path, metavar="FILE", help="a job file")
    size.add_argument("--json", action="store_true", help="print the result file instead of a table")
    size.add_argument("--units", choices=("si", "ip"), default="si", help="units of the table (default: si)")
    size.set_defaults(run=_size)

    refrigerants = commands.add_parser("refrigerants", help="list the refrigerants, or check their tables")
    refrigerants.add_argument("--json", action="store_true", help="print the list as JSON")
    refrigerants.add_argument(
        "--verify",
        nargs="*",
        metavar="NAME",
        default=None,
        help="compare the shipped tables (all, or those named) with CoolProp and print the worst errors",
    )
    refrigerants.set_defaults(run=_refrigerants)
    return parser


def _size(arguments: argparse.Namespace) -> int:
    from linesizer.evaluate import solve
    from linesizer.storage.job_file import read

    file = read(arguments.file)
    result = solve(file.job)
    for note in file.notes:
        print(f"linesizer: {note}", file=sys.stderr)
    if arguments.json:
        json.dump(result.as_dict(), sys.stdout, indent=2, allow_nan=False)
        print()
    else:
        from linesizer.output.size_table import size_report

        print(size_report(result, arguments.units), end="")
    return DONE


def _refrigerants(arguments: argparse.Namespace) -> int:
    from linesizer.properties.library import facts, names

    if arguments.verify is not None:
        return _verify(arguments.verify or names())
    rows = [facts(name) for name in names()]
    if arguments.json:
        json.dump([row.as_dict() for row in rows], sys.stdout, indent=2)
        print()
    else:
        from linesizer.output.refrigerant_list import refrigerant_list

        print(refrigerant_list(rows), end="")
    return DONE


def _verify(names: Sequence[str]) -> int:
    from linesizer.properties.library import load

    tables = [load(name) for name in names]
    from linesizer.properties.generator.verify import format_verified, verify

    for table in tables:
        print(format_verified(table.name, verify(table.name)), flush=True)
    return DONE
