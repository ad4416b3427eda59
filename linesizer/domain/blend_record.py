"""How the table of a blend of a person's own came about, and how far it is to be trusted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from linesizer.domain.blend import Blend, BlendBasis


@dataclass(frozen=True, slots=True)
class PairRecord:
    """Whence the parameters are by which two components act on each other in the equation of state."""

    components: tuple[str, str]
    source: str
    estimated: bool

    @property
    def words(self) -> str:
        """Both components and the source: ``R32 with R125: Lemmon-JPCRD-2004``."""
        return f"{self.components[0]} with {self.components[1]}: {self.source}"


@dataclass(frozen=True, slots=True)
class BlendRecord:
    """What the table of an own blend records beside the properties.

    ``built`` is a date, ``2026-11-30``; the uncertainties of pressure, liquid density and vapour density on the
    saturation lines are fractions, ``basis_of_uncertainty`` says whence they are.
    """

    blend: Blend
    built: str
    method: str
    pairs: tuple[PairRecord, ...]
    pressure_uncertainty: float
    liquid_density_uncertainty: float
    vapour_density_uncertainty: float
    basis_of_uncertainty: str

    @property
    def estimated(self) -> tuple[PairRecord, ...]:
        """The pairs whose parameters nobody has fitted to measurements."""
        return tuple(pair for pair in self.pairs if pair.estimated)

    @property
    def uncertainty_words(self) -> str:
        """The uncertainties in a row: ``3 % in saturation pressure, ...``."""
        return (
            f"{100.0 * self.pressure_uncertainty:g} % in saturation pressure, "
            f"{100.0 * self.liquid_density_uncertainty:g} % in liquid density, "
            f"{100.0 * self.vapour_density_uncertainty:g} % in vapour density"
        )

    def as_plain(self) -> dict[str, Any]:
        """Return the record as plain values, for the table's file."""
        return {
            "basis": self.blend.basis.value,
            "composition": dict(self.blend.composition),
            "safety_group": self.blend.safety_group,
            "gwp": self.blend.gwp,
            "rcl_kg_m3": self.blend.rcl_kg_m3,
            "built": self.built,
            "method": self.method,
            "pairs": [[*pair.components, pair.source, pair.estimated] for pair in self.pairs],
            "pressure_uncertainty": self.pressure_uncertainty,
            "liquid_density_uncertainty": self.liquid_density_uncertainty,
            "vapour_density_uncertainty": self.vapour_density_uncertainty,
            "basis_of_uncertainty": self.basis_of_uncertainty,
        }


def record_from(row: Mapping[str, Any]) -> BlendRecord:
    """Return the record that plain values hold; KeyError, TypeError or ValueError where they hold none."""
    composition = tuple((str(name), float(share)) for name, share in row["composition"].items())
    return BlendRecord(
        blend=Blend(composition, BlendBasis(row["basis"]), row["safety_group"], row["gwp"], row["rcl_kg_m3"]),
        built=row["built"],
        method=row["method"],
        pairs=tuple(
            PairRecord((first, second), source, estimated) for first, second, source, estimated in row["pairs"]
        ),
        pressure_uncertainty=row["pressure_uncertainty"],
        liquid_density_uncertainty=row["liquid_density_uncertainty"],
        vapour_density_uncertainty=row["vapour_density_uncertainty"],
        basis_of_uncertainty=row["basis_of_uncertainty"],
    )
