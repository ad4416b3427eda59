"""What the table of conditions has rows for: what a person states, and what the calculation derives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesizer.domain.condition import SubcoolingAt
from linesizer.domain.result import ConditionResult, FloatArray
from linesizer.ui.fields.bounds import unit_words
from linesizer.ui.fields.choice import Choice
from linesizer.units import Kind, System


@dataclass(frozen=True, slots=True)
class StatedRow:
    """One value of every condition; ``usual`` is the one with which the row may stay folded away."""

    key: str
    words: str
    kind: Kind | None
    tip: str
    optional: bool = False
    folds: bool = False
    usual: object = None

    def label(self, system: System) -> str:
        """Return the row's words with the unit."""
        unit = unit_words(self.kind, system) if self.kind is not None else ""
        return f"{self.words}, {unit}" if unit else self.words


@dataclass(frozen=True, slots=True)
class DerivedRow:
    """One figure that the calculation gives for every condition."""

    words: str
    kind: Kind
    tip: str
    figures: Callable[[ConditionResult], FloatArray]

    def label(self, system: System) -> str:
        """Return the row's words with the unit."""
        return f"{self.words}, {unit_words(self.kind, system)}"


SUBCOOLING_PLACES = (
    Choice(SubcoolingAt.CONDENSER, "condenser"),
    Choice(SubcoolingAt.LIQUID_LINE, "line"),
)

STATED: tuple[StatedRow, ...] = (
    StatedRow(
        "capacity_W",
        "Cooling",
        Kind.CAPACITY,
        "The net cooling that the unit gives at this condition; the flow through both lines follows from it.",
    ),
    StatedRow(
        "evaporating_C",
        "Evaporating",
        Kind.TEMPERATURE,
        "Saturation temperature in the evaporator. To say it by the leaving fluid and the approach, state those two, "
        "under More.",
        optional=True,
    ),
    StatedRow(
        "leaving_fluid_C",
        "Leaving fluid",
        Kind.TEMPERATURE,
        "Temperature of the water, brine or air that leaves the evaporator; less the approach, it stands in the place "
        "of the evaporating temperature. Clear it to state that one again.",
        optional=True,
        folds=True,
    ),
    StatedRow(
        "approach_K",
        "Approach",
        Kind.TEMPERATURE_DIFFERENCE,
        "How much colder than the leaving fluid the refrigerant boils; from the maker's data of the evaporator.",
        optional=True,
        folds=True,
    ),
    StatedRow(
        "condensing_C",
        "Condensing",
        Kind.TEMPERATURE,
        "Saturation temperature at the end of the discharge line, where the condenser begins.",
    ),
    StatedRow(
        "superheat_K",
        "Superheat",
        Kind.TEMPERATURE_DIFFERENCE,
        "At the evaporator's outlet. It counts as cooling; what the gas picks up later is suction heat.",
    ),
    StatedRow(
        "subcooling_K",
        "Subcooling",
        Kind.TEMPERATURE_DIFFERENCE,
        "How far below its bubble point the liquid leaves the condenser. What the liquid line may lose before its "
        "liquid boils.",
    ),
    StatedRow(
        "subcooling_at",
        "Subcooled at",
        None,
        "Where the subcooling is measured: at the condenser's outlet, or at the start of the liquid line after a "
        "receiver and a subcooler. A receiver that all liquid passes gives away what the condenser subcooled.",
        folds=True,
        usual=SubcoolingAt.CONDENSER,
    ),
    StatedRow(
        "ambient_C",
        "Ambient",
        Kind.TEMPERATURE,
        "Outdoor air at this condition: for lines outdoors, for winter flooding. Empty where nobody knows it.",
        optional=True,
    ),
    StatedRow(
        "suction_heat_K",
        "Suction heat",
        Kind.TEMPERATURE_DIFFERENCE,
        "What the gas warms up between evaporator and compressor without cooling anything; it makes the discharge "
        "gas hotter.",
        folds=True,
        usual=0.0,
    ),
    StatedRow(
        "bypass",
        "Hot-gas bypass",
        Kind.FRACTION,
        "The part of the compressor's flow that goes back as hot gas before the discharge line begins. It takes "
        "cooling away, so from some part on none is left.",
        folds=True,
        usual=0.0,
    ),
    StatedRow(
        "discharge_C",
        "Discharge stated",
        Kind.TEMPERATURE,
        "The gas temperature at the compressor's outlet where the maker states it; it replaces the calculated one. "
        "Empty: calculated from the efficiency.",
        optional=True,
        folds=True,
    ),
    StatedRow(
        "isentropic_efficiency",
        "Efficiency",
        Kind.FRACTION,
        "The compressor's isentropic efficiency at this condition, where it is not the one stated for the unit.",
        optional=True,
        folds=True,
    ),
    StatedRow(
        "hours_per_year",
        "Hours a year",
        Kind.TIME_YEAR,
        "How long the plant runs like this in a year; the yearly cost of a pressure drop counts by it.",
        optional=True,
        folds=True,
    ),
)

DERIVED: tuple[DerivedRow, ...] = (
    DerivedRow("Flow", Kind.MASS_FLOW, "Through both lines, with the bypass left out.", lambda c: c.mass_flow_kg_s),
    DerivedRow("Discharge", Kind.TEMPERATURE, "Of the gas at the compressor's outlet.", lambda c: c.discharge_C),
    DerivedRow(
        "Discharge",
        Kind.PRESSURE,
        "At the compressor's outlet: the condensing pressure and what the discharge line takes, above the air at "
        "the site.",
        lambda c: c.discharge_Pa,
    ),
    DerivedRow("Rejection", Kind.HEAT_FLOW, "What the condenser has to give away.", lambda c: c.heat_rejection_W),
    DerivedRow("Shaft", Kind.POWER, "What the compressor takes at its shaft.", lambda c: c.compressor_W),
)
