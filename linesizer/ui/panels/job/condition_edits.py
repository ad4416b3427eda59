"""What an entry in the table of conditions does: most change one value, the evaporating temperature has two ways."""

from __future__ import annotations

from typing import Any

from linesizer.document.commands.condition import SetConditionFields
from linesizer.document.fields import Changes
from linesizer.domain.condition import Condition
from linesizer.errors import UserError
from linesizer.units import Kind, System, display_with_unit


def evaporating_of(condition: Condition) -> float | None:
    """Return the evaporating temperature, stated or by leaving fluid and approach."""
    if condition.evaporating_C is not None:
        return condition.evaporating_C
    if condition.leaving_fluid_C is None or condition.approach_K is None:
        return None
    return condition.leaving_fluid_C - condition.approach_K


def entered(circuit: str, condition: Condition, key: str, value: Any, system: System) -> SetConditionFields:
    """Return the command for an entry.

    A leaving fluid takes the place of the evaporating temperature, keeping it by the approach that lies between the
    two; an evaporating temperature takes its own place again.

    Raises
    ------
    UserError
        CONDITION-02 where the fluid would leave colder than the refrigerant boils, or the last way of stating the
        evaporating temperature would be gone.
    """
    return SetConditionFields(circuit, condition.id, _changes(condition, key, value, system))


def _changes(condition: Condition, key: str, value: Any, system: System) -> Changes:
    boils = evaporating_of(condition)
    if key == "evaporating_C":
        if value is None:
            raise _needed(condition)
        return (("evaporating_C", value), ("leaving_fluid_C", None), ("approach_K", None))
    if key == "leaving_fluid_C":
        if value is None:
            return (("evaporating_C", boils), ("leaving_fluid_C", None), ("approach_K", None))
        approach = condition.approach_K
        if approach is None:
            approach = value - boils if boils is not None else 0.0
            if approach < 0.0:
                raise UserError(
                    "CONDITION-02",
                    what=f"The fluid of condition {condition.title} cannot leave so cold.",
                    why=f"{display_with_unit(Kind.TEMPERATURE, value, system)} is colder than the refrigerant boils, "
                    f"{display_with_unit(Kind.TEMPERATURE, boils, system)}.",
                    remedy="Lower the evaporating temperature first.",
                )
        return (("evaporating_C", None), ("leaving_fluid_C", value), ("approach_K", approach))
    if key == "approach_K":
        if value is None:
            return (("evaporating_C", boils), ("leaving_fluid_C", None), ("approach_K", None))
        leaving = condition.leaving_fluid_C
        if leaving is None and boils is not None:
            leaving = boils + value
        return (("evaporating_C", None), ("leaving_fluid_C", leaving), ("approach_K", value))
    return ((key, value),)


def _needed(condition: Condition) -> UserError:
    return UserError(
        "CONDITION-03",
        what=f"Condition {condition.title} needs an evaporating temperature.",
        why="Nothing is sized without an evaporating temperature.",
        remedy="Type one, or state the leaving fluid and the approach under More.",
    )
