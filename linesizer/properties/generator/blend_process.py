"""The process that builds the table of an own blend: ``python -m linesizer.properties.generator.blend_process``.

It reads one line of JSON, ``{"name", "basis", "composition", ...}``, and prints lines of JSON: ``{"stage"}`` as it goes
on, in the end ``{"table"}`` or ``{"error"}``.  It writes no file.  When its standard input ends, whoever asked is gone,
and so is it.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
import threading
from typing import Any

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import UserError


def main() -> int:
    """Build what the first line asks for; return 0, or 2 where no table can be had."""
    asked = json.loads(sys.stdin.readline())
    threading.Thread(target=_end_with_whoever_asked, daemon=True).start()
    own = Blend(
        tuple(asked["composition"].items()),
        BlendBasis(asked["basis"]),
        asked["safety_group"],
        asked["gwp"],
        asked["rcl_kg_m3"],
    )
    try:
        try:
            from linesizer.properties.generator.own_blend import build_own
        except ModuleNotFoundError as error:
            raise _missing(error) from error
        _say({"table": build_own(asked["name"], own, asked["today"], lambda stage: _say({"stage": stage}))})
    except UserError as error:
        _say({"error": {"code": error.code, "what": error.what, "why": error.why, "remedy": error.remedy}})
        return 2
    return 0


def _say(row: dict[str, Any]) -> None:
    sys.stdout.write(json.dumps(row) + "\n")
    sys.stdout.flush()


def _end_with_whoever_asked() -> None:
    with contextlib.suppress(OSError, ValueError):
        while sys.stdin.read(1):
            pass
    os._exit(1)


def _missing(error: ModuleNotFoundError) -> UserError:
    return UserError(
        "PROP-16",
        what="No table can be built here.",
        why=f"The Python package {error.name} is missing; tables are made with CoolProp and scipy.",
        remedy=f"Install it: {os.path.basename(sys.executable)} -m pip install CoolProp scipy",
    )


if __name__ == "__main__":
    with contextlib.suppress(KeyboardInterrupt, BrokenPipeError):
        raise SystemExit(main())
    os._exit(1)
