"""Old versions of the job file brought up to the present one, step by step over plain values.

A step takes the whole document of version n and returns that of version n + 1.  It sees keys that no model knows any
more, so it works on plain values; the models check what comes out.  There is one version so far, hence no step yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import TypeAlias

from linesizer.domain.extra import Json

Step: TypeAlias = Callable[[dict[str, Json]], dict[str, Json]]

STEPS: Mapping[int, Step] = MappingProxyType({})
"""The step that leads away from each old version."""


def migrated(document: dict[str, Json], *, to: int, steps: Mapping[int, Step] | None = None) -> dict[str, Json]:
    """Return a document of an older version as one of the version ``to``.

    Parameters
    ----------
    document : dict
        Plain values whose ``version`` is a whole number from 1 to ``to``; it is not changed.
    to : int
        The version wanted.
    steps : mapping of int to step
        The step away from each version below ``to``; ``STEPS`` where none are given.

    Returns
    -------
    dict
        The document itself where it has the version already.

    Raises
    ------
    KeyError
        If a step is missing, which is a defect of the program.
    """
    version = document["version"]
    assert isinstance(version, int)
    ladder = STEPS if steps is None else steps
    for old in range(version, to):
        document = {**ladder[old](dict(document)), "version": old + 1}
    return document
