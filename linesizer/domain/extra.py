"""Keys that this version does not know, carried along so that a saved file still holds them."""

from __future__ import annotations

from typing import TypeAlias

Json: TypeAlias = "None | bool | int | float | str | list[Json] | dict[str, Json]"
"""A plain JSON value; treated as frozen by everyone who holds one."""

Extra: TypeAlias = tuple[tuple[str, Json], ...]
"""Unknown keys of one object with their values, in the order found."""
