"""What the rules look at: one circuit solved, before it has findings."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.catalog.practice import PracticeRule, PracticeSet
from linesizer.domain.circuit import Circuit
from linesizer.domain.finding import Figure
from linesizer.domain.job import Site
from linesizer.domain.remedy import Remedy
from linesizer.domain.result import ChargeResult, ConditionResult, LineResult
from linesizer.domain.route import Service
from linesizer.properties.table import RefrigerantTable
from linesizer.solver.arrays import FloatArray
from linesizer.solver.circuit_flow import CircuitFlow
from linesizer.solver.tube_rating import rating_temperature_C
from linesizer.units import Kind, STANDARD_ATMOSPHERE_Pa


@dataclass(frozen=True, slots=True)
class CircuitView:
    """One solved circuit with everything that judges it.

    ``maximum_gauge_Pa`` is the high-side design pressure as gauge at the site's altitude; ``ratings`` has the
    allowable gauge pressure and ``demands`` the gauge pressure that stands in each leg at the design pressure,
    (legs,), [Pa], by line id.  ``cures`` has what would cure a leg whose oil does not come up,
    by line and leg id.
    """

    circuit: Circuit
    site: Site
    practice: PracticeSet
    table: RefrigerantTable
    flow: CircuitFlow
    conditions: ConditionResult
    lines: tuple[LineResult, ...]
    maximum_gauge_Pa: float
    ratings: dict[str, FloatArray]
    demands: dict[str, FloatArray]
    cures: dict[tuple[str, str], Remedy]
    charge: ChargeResult

    def rating_temperature_C(self, service: Service) -> float:
        """Return the temperature that the tube of a service is rated at, [C]."""
        return rating_temperature_C(self.practice, service, self.conditions.discharge_C)

    def condition_title(self, index: int) -> str:
        """Return the name of a condition as the person knows it."""
        return self.circuit.conditions[index].title

    def condition_id(self, index: int) -> str:
        """Return the id of a condition."""
        return self.circuit.conditions[index].id


def rule_source(practice: PracticeSet, rule: PracticeRule) -> str:
    """Return who says what a rule says, and how that was seen."""
    if rule.overridden:
        return f"the job's own value in place of practice set {practice.name}"
    return f"practice set {practice.name}: {rule.source} ({rule.status})"


def gauge_figure(gauge_Pa: float) -> Figure:
    """Return a gauge pressure as a figure of words."""
    return Figure(Kind.PRESSURE, gauge_Pa + STANDARD_ATMOSPHERE_Pa)
