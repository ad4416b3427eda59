"""The command line: each command reads, calls, prints.

Standard output carries what was asked for and nothing else, written whole or not at all; everything else goes to
standard error.
"""

from __future__ import annotations

import argparse
import contextlib
import errno
import json
import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from linesizer import __version__
from linesizer.errors import UserError

if TYPE_CHECKING:
    from linesizer.domain.blend import Blend
    from linesizer.properties.own_blends import OwnBlends

DONE, FOUND_A_STOP, BAD_INPUT, INTERRUPTED = 0, 1, 2, 130

COMMANDS = ("open", "size", "check", "charge", "refrigerants", "register")

OBJECTIVES = ("mass", "charge", "power", "cost")
"""What a proposal may make small."""

BAR_WIDTH = 20
LINE_WIDTH = 78


def main(argv: list[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    argv : list of str, optional
        Arguments without the program's name; the process's own by default.

    Returns
    -------
    int
        0 done, 1 a check found a stop or a table that is further off than it may be, 2 bad input or no way to print,
        130 interrupted; errors go to standard error, with nothing on standard output.
    """
    # What reads job files looks through every installed package for plugins of its own, which takes longer than a job.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    try:
        try:
            arguments = _parser().parse_args(_with_command(sys.argv[1:] if argv is None else argv))
        except SystemExit as stop:
            _print("")  # the help still waits in the buffer
            return stop.code if isinstance(stop.code, int) else BAD_INPUT
        status: int = arguments.run(arguments)
    except UserError as error:
        _say(f"linesizer: {error}")
        return BAD_INPUT
    except BrokenPipeError:
        # Whoever read the output has seen enough.
        return DONE
    except KeyboardInterrupt:
        _say("\nlinesizer: interrupted")
        return INTERRUPTED
    return status


def _with_command(argv: list[str]) -> list[str]:
    """Return the arguments with ``open`` before a plain file, or before nothing at all."""
    if not argv:
        return ["open"]
    first = argv[0]
    looks_like_file = first.endswith(".json") or os.sep in first or Path(first).is_file()
    if first not in COMMANDS and not first.startswith("-") and looks_like_file:
        return ["open", *argv]
    return argv


def _json_text(value: object) -> str:
    return json.dumps(value, indent=2, allow_nan=False) + "\n"


def _print(text: str) -> None:
    """Write to standard output, now.

    Raises
    ------
    BrokenPipeError
        If nobody reads any more.
    UserError
        OUTPUT-01 if it cannot be written.
    """
    if sys.stdout is None:
        raise _unwritable("standard output is closed")
    encoding = sys.stdout.encoding or "utf-8"
    try:
        # A terminal that has no degree sign gets a question mark rather than nothing at all.
        sys.stdout.write(text.encode(encoding, "replace").decode(encoding))
        sys.stdout.flush()
    except OSError as error:
        _drop(sys.stdout)
        # Windows calls a reader that is gone an invalid argument.
        if isinstance(error, BrokenPipeError) or (sys.platform == "win32" and error.errno == errno.EINVAL):
            raise BrokenPipeError from error
        raise _unwritable(error.strerror or str(error)) from error


def _drop(stream: TextIO) -> None:
    """Let what is still buffered go nowhere: Python would try, and fail, to write it once more at its exit."""
    with contextlib.suppress(OSError):  # not a stream of the system's
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def _unwritable(reason: str) -> UserError:
    return UserError(
        "OUTPUT-01",
        what="The output could not be written.",
        why=f"The system says: {reason}.",
        remedy="Make room there or send it to another place, then run the same again.",
    )


def _say(text: str) -> None:
    """Write a line to standard error; where that cannot be, the exit code has to do."""
    if sys.stderr is None:
        return
    try:
        print(text, file=sys.stderr, flush=True)
    except OSError:
        _drop(sys.stderr)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="linesizer",
        description="Refrigerant lines between an indoor unit and a remote condenser: drop, oil return, charge, sizes.",
        epilog="Exit codes: 0 done, 1 check found a stop, 2 bad input (the reason is on standard error). "
        "An aid to planning: local codes, makers' instructions and licensed people decide.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"linesizer {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    opened = commands.add_parser(
        "open",
        help="open a job in the window (also: linesizer FILE, or linesizer alone for an empty job)",
        description="Open a job in the window, or draw a picture of the whole window and end.",
        allow_abbrev=False,
    )
    opened.add_argument("file", type=Path, metavar="FILE", nargs="?", help="a job file; none for an empty job")
    opened.add_argument("--picture", type=Path, metavar="OUT.png", help="draw the window into this file and end")
    opened.add_argument(
        "--otherwise",
        type=Path,
        metavar="OUT.png",
        help="where no window can be shown, say so, print the size table and draw the window into this file",
    )
    opened.add_argument(
        "--copy", action="store_true", help="open it as a job without a name: saving asks for one, FILE stays as it is"
    )
    opened.add_argument("--theme", choices=("light", "dark"), help="look (default: the person's own, or the desktop's)")
    opened.add_argument("--units", choices=("si", "ip"), help="units (default: the person's own)")
    opened.set_defaults(run=_open)

    size = commands.add_parser(
        "size",
        help="calculate a job's lines and print what every tube size would give",
        description="Calculate a job's lines, leg by leg and at every condition, and print them with what every tube "
        "size would give, the charge and the findings. The file is only read.",
        allow_abbrev=False,
    )
    size.add_argument("file", type=Path, metavar="FILE", help="a job file")
    size.add_argument("--json", action="store_true", help="print the result file (SI) instead of a table")
    size.add_argument("--units", choices=("si", "ip"), default="si", help="units of the table (default: si)")
    size.add_argument(
        "--propose",
        type=_objective,
        nargs="?",
        const="mass",
        metavar="FOR",
        help="print for each line the sizes that meet every limit with the least mass of tube (the default), charge, "
        "power or yearly cost: mass, charge, power, cost; write it behind the file",
    )
    size.set_defaults(run=_size)

    check = commands.add_parser(
        "check",
        help="calculate many jobs and print what is found in each",
        description="Calculate many jobs, in parallel where that pays, and print the heaviest finding of each. The "
        "files are only read; one that cannot be used does not stop the others.",
        epilog="Exit codes: 0 nothing to stop at, 1 a stop found, 2 a file that cannot be used.",
        allow_abbrev=False,
    )
    check.add_argument("files", type=Path, metavar="FILE", nargs="+", help="a job file, or a folder of job files")
    check.add_argument("--json", action="store_true", help="print JSON with all findings (SI) instead of a table")
    check.add_argument("--units", choices=("si", "ip"), default="si", help="units of the findings (default: si)")
    check.add_argument(
        "--processes",
        type=_count,
        metavar="N",
        help="how many processes share the work (default: as many as the machine has processors, for many files)",
    )
    check.set_defaults(run=_check)

    charge = commands.add_parser(
        "charge",
        help="print the charge, and what each line would hold in every tube size",
        description="Calculate a job and print its charge, and for each line what a metre of every tube size and the "
        "whole line in it would hold. The file is only read.",
        allow_abbrev=False,
    )
    charge.add_argument("file", type=Path, metavar="FILE", help="a job file")
    charge.add_argument("--json", action="store_true", help="print JSON (SI) instead of tables")
    charge.add_argument("--units", choices=("si", "ip"), default="si", help="units of the tables (default: si)")
    charge.set_defaults(run=_charge)

    refrigerants = commands.add_parser(
        "refrigerants",
        help="list the refrigerants, check their tables, or add a blend of your own",
        description="List the refrigerants, shipped and of your own; compare the shipped tables with CoolProp; build "
        "and keep the table of a blend of your own.",
        allow_abbrev=False,
    )
    refrigerants.add_argument("--json", action="store_true", help="print JSON (SI, with sources) instead of a table")
    refrigerants.add_argument("--units", choices=("si", "ip"), default="si", help="units of the table (default: si)")
    acts = refrigerants.add_mutually_exclusive_group()
    acts.add_argument(
        "--verify",
        nargs="*",
        metavar="NAME",
        default=None,
        help="compare the shipped tables (all, or those named) with CoolProp and print the worst errors",
    )
    acts.add_argument("--add", metavar="NAME", help="build the table of a blend of your own and keep it")
    acts.add_argument("--remove", metavar="NAME", help="take a blend of your own away again")
    own = refrigerants.add_argument_group("with --add")
    own.add_argument("--composition", metavar="TEXT", help='components with their fractions: "R32 0.5, R125 0.5"')
    own.add_argument("--by", choices=("mass", "mole"), help="what the fractions count (default: mass)")
    own.add_argument("--replace", action="store_true", help="take the place of another composition of that name")
    own.add_argument("--safety-group", metavar="GROUP", help="its safety group, if you know it")
    own.add_argument("--gwp", type=float, metavar="NUMBER", help="its GWP (default: from its components, by mass)")
    own.add_argument("--rcl", type=float, metavar="KG/M3", help="its refrigerant concentration limit, if you know it")
    refrigerants.set_defaults(run=_refrigerants)

    register = commands.add_parser(
        "register",
        help="put the program into the desktop's menus and let it open job files (Linux)",
        description="Put the program into the menus of your own desktop and let it open job files; Linux only.",
        allow_abbrev=False,
    )
    register.add_argument("--remove", action="store_true", help="take it out of the menus again")
    register.set_defaults(run=_register)
    return parser


def _objective(word: str) -> str:
    if word not in OBJECTIVES:
        raise argparse.ArgumentTypeError(
            f"{word!r} is none of {', '.join(OBJECTIVES)}; where it is the file, write it before --propose"
        )
    return word


def _count(word: str) -> int:
    number = int(word) if word.isdecimal() else 0
    if number < 1:
        raise argparse.ArgumentTypeError(f"{word!r} is not a whole number from 1 on")
    return number


def _open(arguments: argparse.Namespace) -> int:
    from linesizer import app

    if arguments.picture is not None:
        _draw_picture(arguments, arguments.picture)
        return DONE
    if arguments.otherwise is not None and not app.display_is_there():
        _say("linesizer: there is no display here for the window; this is the size table, and a picture of the window.")
        if arguments.file is not None:
            from linesizer.evaluate import solve
            from linesizer.output.size_table import size_report
            from linesizer.storage.job_file import read

            _print(size_report(solve(read(arguments.file, _build_missing).job), arguments.units or "si"))
        _draw_picture(arguments, arguments.otherwise)
        _say(f"linesizer: the picture is {arguments.otherwise}")
        return DONE
    return app.open_window(arguments.file, arguments.theme, arguments.units, as_copy=arguments.copy)


def _draw_picture(arguments: argparse.Namespace, picture: Path) -> None:
    from linesizer import app
    from linesizer.properties.own_blends import UnbuiltBlendsError

    try:
        app.draw_picture(arguments.file, picture, arguments.theme, arguments.units)
    except UnbuiltBlendsError as error:
        _build_missing(error.blends)
        app.draw_picture(arguments.file, picture, arguments.theme, arguments.units)


def _size(arguments: argparse.Namespace) -> int:
    from linesizer.evaluate import solve
    from linesizer.storage.job_file import read

    file = read(arguments.file, _build_missing)
    result = solve(file.job)
    proposals = None
    if arguments.propose is not None:
        from linesizer.domain.proposal import Objective
        from linesizer.evaluate import propose_all

        proposals = propose_all(file.job, tuple(Objective)[OBJECTIVES.index(arguments.propose)])
    if arguments.json:
        text = _json_text(result.as_dict(proposals))
    else:
        from linesizer.output.size_table import size_report

        text = size_report(result, arguments.units, proposals)
    for note in file.notes:
        _say(f"linesizer: {note}")
    _print(text)
    return DONE


def _check(arguments: argparse.Namespace) -> int:
    from linesizer.output.check_files import Want, check_files, job_files
    from linesizer.output.check_table import check_json, check_report

    paths = job_files(arguments.files)
    want = Want.JSON if arguments.json else Want.FINDINGS if len(paths) == 1 else Want.ROW
    files = []
    for file in check_files(paths, want, arguments.processes):
        files.append(file)
        if len(paths) > 1:
            _progress(_bar(len(files), len(paths)))
    _progress("")
    for file in files:
        for remark in (*file.remarks, *(() if file.error is None else (file.error,))):
            _say(f"linesizer: {remark if len(paths) == 1 or remark is file.error else f'{file.path}: {remark}'}")
    _print(check_json(files) if arguments.json else check_report(files, arguments.units))
    if any(file.error is not None for file in files):
        return BAD_INPUT
    return FOUND_A_STOP if any(file.stops for file in files) else DONE


def _charge(arguments: argparse.Namespace) -> int:
    from linesizer.evaluate import solve
    from linesizer.output.charge_table import charge_report, charge_rows
    from linesizer.storage.job_file import read

    file = read(arguments.file, _build_missing)
    result = solve(file.job)
    for note in file.notes:
        _say(f"linesizer: {note}")
    _print(_json_text(charge_rows(result)) if arguments.json else charge_report(result, arguments.units))
    return DONE


def _refrigerants(arguments: argparse.Namespace) -> int:
    from linesizer.properties import own_blends
    from linesizer.properties.library import facts, names

    said = {key: getattr(arguments, key) for key in ("composition", "by", "replace", "safety_group", "gwp", "rcl")}
    listed: list[tuple[str, Blend | None]]
    if arguments.add is not None:
        from linesizer.output.own_blends import AskedBlend, add_blend

        try:
            listed = [(arguments.add, add_blend(arguments.add, AskedBlend(**said), _building(arguments.add)))]
        finally:
            _progress("")
    else:
        if any(value is not None and value is not False for value in said.values()):
            from linesizer.output.own_blends import AskedBlend, require_no_blend

            require_no_blend(AskedBlend(**said))
        if arguments.verify is not None:
            return _verify(arguments.verify or names(), as_json=arguments.json)
        if arguments.remove is not None:
            from linesizer.output.own_blends import remove_blend

            _print("".join(f"{path}\n" for path in remove_blend(arguments.remove)))
            return DONE
        listed = [*((name, None) for name in names()), *((one.name, one.blend) for one in own_blends.stored())]
    from linesizer.output.refrigerant_list import refrigerant_list, refrigerant_rows
    from linesizer.properties.summary import describe

    rows = [(describe(name, blend), facts(name, blend)) for name, blend in listed]
    _print(_json_text(refrigerant_rows(rows)) if arguments.json else refrigerant_list(rows, arguments.units))
    return DONE


def _building(name: str) -> Callable[[int, str], None]:
    """Return what shows how far the building of a blend is."""
    from linesizer.properties.blend_building import STAGES

    return lambda done, stage: _progress(f"{_bar(done, STAGES)}  {name}: {stage}")


def _build_missing(blends: OwnBlends) -> None:
    """Build the tables of own blends that a job carries and the person's data folder lacks."""
    from linesizer.properties.blend_building import build_blend

    for name, blend in blends:
        _say(f"linesizer: {name} is a blend of somebody's own ({blend.words}); building its table takes some seconds.")
        try:
            build_blend(name, blend, _building(name))
        finally:
            _progress("")


def _register(arguments: argparse.Namespace) -> int:
    from linesizer.output.desktop_entry import register, unregister

    for path in unregister() if arguments.remove else register():
        _print(f"{path}\n")
    return DONE


def _verify(names: Sequence[str], *, as_json: bool) -> int:
    from linesizer.properties.library import load

    # All of them first: a name that is not known is told before anything is printed, and before CoolProp is loaded.
    tables = [load(name) for name in dict.fromkeys(names)]
    from linesizer.properties.generator.verify import as_text, verify

    rows, status = {}, DONE
    for number, table in enumerate(tables, start=1):
        _progress(f"{table.name} ({number} of {len(tables)})")
        verified = verify(table.name)
        _progress("")
        for quantity in verified:
            if not quantity.worst <= quantity.allowed:
                _say(f"linesizer: {table.name}: {quantity.quantity} is further off than {quantity.allowed:g}")
                status = FOUND_A_STOP
        if as_json:
            rows[table.name] = [asdict(quantity) for quantity in verified]
        else:
            _print(as_text(table.name, verified) + "\n")
    if as_json:
        _print(_json_text({"refrigerants": [{"name": name, "quantities": found} for name, found in rows.items()]}))
    return status


def _bar(done: int, of: int) -> str:
    filled = BAR_WIDTH * done // of
    return f"[{'#' * filled}{'.' * (BAR_WIDTH - filled)}] {done} of {of}"


def _progress(text: str) -> None:
    """Show what is being done on a line of the terminal that is used again; elsewhere nothing."""
    if sys.stderr is not None and sys.stderr.isatty():
        with contextlib.suppress(OSError):
            print(f"\r{text[:LINE_WIDTH]:{LINE_WIDTH}}", end="\r", file=sys.stderr, flush=True)
