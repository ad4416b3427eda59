"""A blend of a person's own added and removed, as the command line is asked to."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from linesizer.domain.blend import Blend, BlendBasis
from linesizer.errors import UserError
from linesizer.properties import own_blends
from linesizer.properties.blend_building import Report, build_blend
from linesizer.properties.blend_entry import EXAMPLE, own_blend, read_composition, require_name


@dataclass(frozen=True, slots=True)
class AskedBlend:
    """What is said of a blend on the command line, as it was typed; None and False where nothing is."""

    composition: str | None = None
    by: str | None = None
    replace: bool = False
    safety_group: str | None = None
    gwp: float | None = None
    rcl: float | None = None

    @property
    def said(self) -> tuple[str, ...]:
        """The options that say something."""
        values = {
            "--composition": self.composition,
            "--by": self.by,
            "--replace": self.replace or None,
            "--safety-group": self.safety_group,
            "--gwp": self.gwp,
            "--rcl": self.rcl,
        }
        return tuple(option for option, value in values.items() if value is not None)


def require_no_blend(asked: AskedBlend) -> None:
    """Raise UserError BLEND-03 where something is said of a blend that is not to be added."""
    if asked.said:
        raise UserError(
            "BLEND-03",
            what="Nothing was done.",
            why=f"{' and '.join(asked.said)}: without the name of the blend that is to be added.",
            remedy="Name it: --add NAME",
        )


def add_blend(name: str, asked: AskedBlend, report: Report) -> Blend:
    """Build and keep the blend that is asked for; with ``replace`` others of its name go.

    Raises
    ------
    UserError
        BLEND-01 if the composition is not given; others as of entering and of building it.
    """
    if asked.composition is None:
        raise UserError(
            "BLEND-01",
            what=f"The blend {name} cannot be built.",
            why="Its composition is not given.",
            remedy=f'Add it: --composition "{EXAMPLE}"',
        )
    blend = own_blend(
        read_composition(asked.composition),
        BlendBasis(asked.by or "mass"),
        safety_group=asked.safety_group,
        gwp=asked.gwp,
        rcl_kg_m3=asked.rcl,
    )
    require_name(name, blend, replace=asked.replace)
    kept = build_blend(name, blend, report)
    for other in own_blends.named(name):
        if other.path != kept.path:
            own_blends.remove(other.path)
    return kept.blend


def remove_blend(name: str) -> tuple[Path, ...]:
    """Take the blends of a name away, and return the files that are gone.

    Raises
    ------
    UserError
        BLEND-02 if there is none of that name.
    """
    found = own_blends.named(name)
    if not found:
        there = ", ".join(dict.fromkeys(one.name for one in own_blends.stored()))
        raise UserError(
            "BLEND-02",
            what=f"There is no blend of your own called “{name}”.",
            why=f"There are: {there}." if there else f"There are none in {own_blends.folder()}.",
            remedy="Give the name of one of them." if there else "Nothing has to be removed.",
        )
    for one in found:
        own_blends.remove(one.path)
    return tuple(one.path for one in found)
