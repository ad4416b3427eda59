"""Tube catalogues: every size that a line may be built from, with its bore, wall and mass.

Copper is keyed by outside diameter (inch sizes as ``7/8``, metric as ``22x1``), steel by nominal pipe size, so one word
never means two tubes in one catalogue.
"""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass, field
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from typing import TYPE_CHECKING, Any

from linesizer.domain.resources import resource
from linesizer.errors import UserError
from linesizer.units import METRES_PER_INCH, METRES_PER_MILLIMETRE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_METRES_PER = {"in": METRES_PER_INCH, "mm": METRES_PER_MILLIMETRE}


class Material(StrEnum):
    """What a tube is made of."""

    COPPER = "copper"
    STEEL = "steel"


class Temper(StrEnum):
    """The state of the metal, which decides its allowable stress."""

    DRAWN = "drawn"
    ANNEALED = "annealed"
    SEAMLESS = "seamless"


@dataclass(frozen=True, slots=True)
class TubeSize:
    """One size of one catalogue; lengths in m, mass in kg/m.

    ``size`` is the word of the job file, ``nominal`` the name that the standard prints.  ``source``, ``status``
    (read, from memory) and ``note`` say where the row comes from.
    """

    size: str
    nominal: str
    outside_diameter_m: float
    wall_m: float
    inside_diameter_m: float
    mass_kg_m: float
    source: str
    status: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class TubeCatalogue:
    """All sizes of one tube standard, in order of bore; lengths in m, density in kg/m3.

    ``least_wall_fraction`` is the part of the nominal wall that the standard's tolerance leaves, which a rating
    counts on.
    """

    id: str
    label: str
    material: Material
    standard: str
    temper: Temper
    temper_note: str
    roughness_m: float
    roughness_source: str
    density_kg_m3: float
    density_source: str
    least_wall_fraction: float
    least_wall_source: str
    sizes: tuple[TubeSize, ...]
    _by_size: dict[str, TubeSize] = field(init=False, repr=False, compare=False)
    _places: dict[str, int] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_by_size", {row.size: row for row in self.sizes})
        object.__setattr__(self, "_places", {row.size: place for place, row in enumerate(self.sizes)})

    def __hash__(self) -> int:
        return hash(self.id)

    def __contains__(self, size: object) -> bool:
        return size in self._by_size

    @property
    def size_names(self) -> tuple[str, ...]:
        """The sizes' words, in order of bore."""
        return tuple(self._by_size)

    @property
    def inside_diameters_m(self) -> NDArray[np.float64]:
        """Bores, [m], shape (sizes,)."""
        return self._column("inside_diameter_m")

    @property
    def outside_diameters_m(self) -> NDArray[np.float64]:
        """Outside diameters, [m], shape (sizes,)."""
        return self._column("outside_diameter_m")

    @property
    def walls_m(self) -> NDArray[np.float64]:
        """Nominal walls, [m], shape (sizes,)."""
        return self._column("wall_m")

    @property
    def masses_kg_m(self) -> NDArray[np.float64]:
        """Masses of the bare tube, [kg/m], shape (sizes,)."""
        return self._column("mass_kg_m")

    def index(self, size: str) -> int:
        """Return the place of ``size`` in the catalogue's arrays; raises like ``find``."""
        self.find(size)
        return self._places[size]

    def find(self, size: str) -> TubeSize:
        """Return the row of one size.

        Raises
        ------
        UserError
            If the catalogue has no such size; names the near ones and the range.
        """
        row = self._by_size.get(size)
        if row is not None:
            return row
        near = self.near(size)
        steps = f"Choose {_either(near)}." if near else f"Choose a size from {self.range_text}."
        raise UserError(
            "TUBE-02",
            what=f'"{size}" is not a size of {self.label}.',
            why=f"Its sizes run from {self.range_text}, {_KEYED[self.material]}.",
            remedy=steps,
        )

    def near(self, size: str) -> tuple[str, ...]:
        """Return up to three sizes that a person may have meant by ``size``, best first."""
        wanted = size.strip().lower().replace('"', "").replace("in", "").replace("mm", "").replace(" ", "")
        if wanted in self._by_size:
            return (wanted,)
        named = tuple(row.size for row in self.sizes if row.nominal == wanted)
        return named[:3] or tuple(get_close_matches(wanted, self.size_names, n=3, cutoff=0.5))

    @property
    def range_text(self) -> str:
        """The smallest and the largest size, in words."""
        return f"{self.sizes[0].size} to {self.sizes[-1].size}"

    def _column(self, name: str) -> NDArray[np.float64]:
        import numpy as np

        return np.array([getattr(row, name) for row in self.sizes], dtype=np.float64)


_KEYED = {
    Material.COPPER: "named by outside diameter (7/8 in inches, 22x1 in millimetres)",
    Material.STEEL: "named by nominal pipe size (1-1/4, 2-1/2)",
}


def tube_ids() -> tuple[str, ...]:
    """Return the ids of all catalogues, as the job file writes them."""
    return tuple(row["id"] for row in _index()["catalogues"])


@cache
def tube_catalogue(tube_id: str) -> TubeCatalogue:
    """Return one tube catalogue.

    Raises
    ------
    UserError
        If there is none of that id; names the near ones.
    """
    index = _index()
    for row in index["catalogues"]:
        if row["id"] == tube_id:
            return TubeCatalogue(
                id=row["id"],
                label=row["label"],
                material=Material(row["material"]),
                standard=row["standard"],
                temper=Temper(row["temper"]),
                temper_note=row["temper_note"],
                sizes=_sizes(tube_id),
                **index["materials"][row["material"]],
            )
    # The beginning names the standard and counts for more than the likeness of the letters.
    near = [name for name in tube_ids() if name.lower().startswith(tube_id.lower())]
    near = near or get_close_matches(tube_id, tube_ids(), n=3, cutoff=0.6)
    raise UserError(
        "TUBE-01",
        what=f'"{tube_id}" is not a tube that ships with the program.',
        why=f"Known tubes: {', '.join(tube_ids())}.",
        remedy=f"Choose {_either(near or tube_ids())}.",
    )


@cache
def _index() -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads(resource("tubes", "catalogues.json").read_text(encoding="utf-8"))
    return loaded


def _sizes(tube_id: str) -> tuple[TubeSize, ...]:
    with resource("tubes", f"{tube_id}.csv").open(encoding="utf-8", newline="") as file:
        rows = [_size(row) for row in csv.DictReader(file)]
    return tuple(sorted(rows, key=lambda row: row.inside_diameter_m))


def _size(row: dict[str, str]) -> TubeSize:
    metres = _METRES_PER[row["unit"]]
    return TubeSize(
        size=row["size"],
        nominal=row["nominal"],
        outside_diameter_m=float(row["outside_diameter"]) * metres,
        wall_m=float(row["wall"]) * metres,
        inside_diameter_m=float(row["inside_diameter"]) * metres,
        mass_kg_m=float(row["mass_kg_m"]),
        source=row["source"],
        status=row["status"],
        note=row["note"],
    )


def _either(names: tuple[str, ...] | list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
