"""Refrigerant lines between an indoor unit and a remote condenser: read a job, solve it."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linesizer.evaluate import solve as solve
    from linesizer.storage.job_file import read_job as read_job

__version__ = "0.1.0"
__all__ = ["__version__", "read_job", "solve"]

_DOORS = {"read_job": "linesizer.storage.job_file", "solve": "linesizer.evaluate"}


def __getattr__(name: str) -> Any:
    # The two doors open late, so that a command that needs neither pays for neither.
    if name in _DOORS:
        return getattr(importlib.import_module(_DOORS[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *_DOORS})
