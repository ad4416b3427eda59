"""Where a liquid line's subcooling goes on the way to the valve, item by item."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from linesizer.domain.result import LiquidBudget
from linesizer.units import Kind, System, display, display_with_unit, unit_label


class Standing(Enum):
    """How an item stands: a sum, a loss, a gain, or what is left against what practice asks for."""

    WHOLE = "whole"
    LOSS = "loss"
    GAIN = "gain"
    ENOUGH = "enough"
    LITTLE = "little"
    SHORT = "short"


@dataclass(frozen=True, slots=True)
class BudgetItem:
    """One item: its word, its figure with a sign, and from where to where its bar goes, [K]."""

    word: str
    value_K: float
    from_K: float
    to_K: float
    standing: Standing
    meaning: str

    def text(self, system: System) -> str:
        """Return the figure; what is given or taken has its sign."""
        text = display(Kind.TEMPERATURE_DIFFERENCE, self.value_K, system)
        return f"+{text}" if self.standing is Standing.GAIN else text

    def label(self, system: System) -> str:
        """Return the word, with the unit of all figures where it is the first."""
        unit = unit_label(Kind.TEMPERATURE_DIFFERENCE, system)
        return f"{self.word}, {unit}" if self.standing is Standing.WHOLE else self.word


_MEANINGS = (
    "Below its bubble point where the line begins: what the line may lose before its liquid boils.",
    "What friction in the straight tube takes, and the little that the liquid's speeding up does.",
    "What elbows, tees and changes of size take.",
    "What valves, driers and the like take; a loss that no maker states is assumed, and a note says so.",
    "What the column of liquid takes where the line climbs, or gives back where it falls.",
    "What warm surroundings take by warming the liquid, or cold ones give back by cooling it.",
    "What is left where the line ends. Below 0 the liquid boils before the valve.",
)


def budget_items(budget: LiquidBudget, index: int, asked_K: float, stop_K: float) -> tuple[BudgetItem, ...]:
    """Return the items of a budget at one condition in their order; empty where the flow does not pass.

    Parameters
    ----------
    budget : LiquidBudget
        Of a liquid line.
    index : int
        Which condition.
    asked_K, stop_K : float
        What practice asks to be left at the valve, and what must be.
    """
    start_K, left_K = float(budget.subcooling_K[index]), float(budget.margin_K[index])
    taken = [
        float(values[index])
        for values in (budget.friction_K, budget.fittings_K, budget.parts_K, budget.lift_K, budget.heat_K)
    ]
    if not all(math.isfinite(value) for value in (start_K, left_K, *taken)):
        return ()
    fall, cooling = taken[3] < 0.0, taken[4] < 0.0
    words = ("friction", "fittings", "parts", "fall" if fall else "lift", "cooling" if cooling else "warming")
    items = [BudgetItem("subcooled", start_K, 0.0, start_K, Standing.WHOLE, _MEANINGS[0])]
    at_K = start_K
    for word, loss_K, meaning in zip(words, taken, _MEANINGS[1:], strict=False):
        standing = Standing.GAIN if loss_K < 0.0 else Standing.LOSS
        items.append(BudgetItem(word, 0.0 - loss_K, at_K, at_K - loss_K, standing, meaning))
        at_K -= loss_K
    standing = Standing.SHORT if left_K < stop_K else Standing.LITTLE if left_K < asked_K else Standing.ENOUGH
    word = {Standing.SHORT: "boils", Standing.LITTLE: "little left"}.get(standing, "left")
    if standing is Standing.SHORT and left_K >= 0.0:
        word = "too little left"
    items.append(BudgetItem(word, left_K, 0.0, left_K, standing, _MEANINGS[6]))
    return tuple(items)


def budget_words(items: tuple[BudgetItem, ...], asked_K: float, system: System) -> str:
    """Return a budget as a sentence."""
    unit = unit_label(Kind.TEMPERATURE_DIFFERENCE, system)
    listed = ", ".join(f"{item.word} {item.text(system)}" for item in items)
    asked = display_with_unit(Kind.TEMPERATURE_DIFFERENCE, asked_K, system)
    return f"Liquid budget in {unit}: {listed}; practice asks for {asked}"
