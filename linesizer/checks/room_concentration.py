"""All refrigerant of a circuit in the smallest room that it can leak into, against the limits of concentration."""

from __future__ import annotations

from collections.abc import Iterator

from linesizer.catalog.rules import ConcentrationFact, ConcentrationRule, concentration_rules
from linesizer.checks.context import CircuitView
from linesizer.domain.finding import Figure, Finding, Level
from linesizer.domain.job import Room
from linesizer.properties.facts import RefrigerantFacts, Sourced
from linesizer.properties.library import facts
from linesizer.units import Kind

INDOOR = "indoor"
ABOVE_WORDS = (
    "If the whole charge of {charge} escapes into {room} ({volume}, {people}), the smallest room of known volume that "
    "the circuit passes, {concentration} of {refrigerant} stand in it, against a {rule} of {limit}. {beside} It may "
    "apply: check your local code."
)
NEAR_WORDS = (
    "If the whole charge of {charge} escapes into {room} ({volume}, {people}), the smallest room of known volume that "
    "the circuit passes, {concentration} of {refrigerant} stand in it, against a {rule} of {limit}; at the upper end "
    "of the charge's band it is more than that. {beside} It may apply: check your local code."
)
VOLUME_WORDS = (
    "The circuit passes {rooms}, of unknown volume, so what a leak would do there is not judged. The charge of "
    "{charge} exceeds the {rule} of {limit} in a room of less than {needed}. State the rooms and their volumes. It "
    "may apply: check your local code."
)
UNKNOWN_WORDS = (
    "No {rule} of {refrigerant} is at hand, so the rooms that the circuit passes are not judged by it. Look it up in "
    "the edition that your code names. It may apply: check your local code."
)


def room_concentration(view: CircuitView) -> Iterator[Finding]:
    """Yield what a leak of the whole charge would do in the smallest room, by each of the rules."""
    total = view.charge.total_kg
    rooms, unstated = rooms_reached(view)
    if total is None or not (rooms or unstated):
        return
    known = facts(view.circuit.refrigerant, view.circuit.blend)
    limits = [(rule, _limit(rule, known)) for rule in concentration_rules()]
    for rule, limit in limits:
        if limit is None:
            yield _unknown(view, rule, known)
        elif rooms:
            smallest = min(rooms, key=lambda room: room.volume_m3 or 0.0)
            yield from _judged(view, rule, limit, smallest, total)
    if unstated:
        strictest = min(((rule, limit) for rule, limit in limits if limit is not None), key=_value, default=None)
        if strictest is not None:
            yield _unstated(view, *strictest, unstated, total)


def rooms_reached(view: CircuitView) -> tuple[tuple[Room, ...], tuple[str, ...]]:
    """Return the rooms of known volume that lines or equipment stand in, and the names of those of unknown volume."""
    places = dict.fromkeys(leg.place for line in view.circuit.lines for leg in line.legs)
    places |= dict.fromkeys(equipment.place for equipment in view.circuit.equipment)
    rooms = {room.id: room for room in view.site.rooms}
    here = [rooms[place] for place in places if place in rooms]
    unstated = [room.name or room.id for room in here if room.volume_m3 is None]
    if INDOOR in places:
        unstated.append("indoor space that is no room of the site")
    return tuple(room for room in here if room.volume_m3 is not None), tuple(unstated)


def _limit(rule: ConcentrationRule, known: RefrigerantFacts) -> Sourced[float] | None:
    return known.rcl_kg_m3 if rule.fact is ConcentrationFact.RCL else known.practical_limit_kg_m3


def _value(pair: tuple[ConcentrationRule, Sourced[float]]) -> float:
    return pair[1].value


def _judged(
    view: CircuitView, rule: ConcentrationRule, limit: Sourced[float], room: Room, total_kg: float
) -> Iterator[Finding]:
    volume_m3 = room.volume_m3
    if volume_m3 is None:
        return
    high_kg = total_kg if view.charge.high_kg is None else view.charge.high_kg
    above, near = total_kg / volume_m3 > limit.value, high_kg / volume_m3 > limit.value
    if not (above or near):
        return
    name = room.name or room.id
    yield Finding(
        code="room_concentration",
        level=Level.WARN if above else Level.NOTE,
        title=f"{name}: a leak {'exceeds' if above else 'may exceed'} the {rule.title}",
        words=ABOVE_WORDS if above else NEAR_WORDS,
        circuit=view.circuit.id,
        kind=Kind.CONCENTRATION,
        value=total_kg / volume_m3,
        limit=limit.value,
        rule=rule.title,
        source=_source(limit),
        figures=(
            ("charge", Figure(Kind.MASS, total_kg)),
            ("room", name),
            ("volume", Figure(Kind.ROOM_VOLUME, volume_m3)),
            ("people", "people stay in it" if room.occupied else "not marked as occupied"),
            ("concentration", Figure(Kind.CONCENTRATION, total_kg / volume_m3)),
            ("refrigerant", view.circuit.refrigerant),
            ("rule", rule.title),
            ("limit", Figure(Kind.CONCENTRATION, limit.value)),
            ("beside", rule.beside),
        ),
    )


def _unstated(
    view: CircuitView, rule: ConcentrationRule, limit: Sourced[float], rooms: tuple[str, ...], total_kg: float
) -> Finding:
    needed_m3 = total_kg / limit.value
    return Finding(
        code="room_volume_missing",
        level=Level.NOTE,
        title="a room's volume is not stated",
        words=VOLUME_WORDS,
        circuit=view.circuit.id,
        kind=Kind.ROOM_VOLUME,
        limit=needed_m3,
        rule=rule.title,
        source=_source(limit),
        figures=(
            ("rooms", " and ".join(rooms)),
            ("charge", Figure(Kind.MASS, total_kg)),
            ("rule", rule.title),
            ("limit", Figure(Kind.CONCENTRATION, limit.value)),
            ("needed", Figure(Kind.ROOM_VOLUME, needed_m3)),
        ),
    )


def _unknown(view: CircuitView, rule: ConcentrationRule, known: RefrigerantFacts) -> Finding:
    return Finding(
        code="concentration_limit_unknown",
        level=Level.NOTE,
        title=f"no {rule.title} at hand",
        words=UNKNOWN_WORDS,
        circuit=view.circuit.id,
        rule=rule.title,
        source="no value is shipped with the program",
        figures=(("rule", rule.title), ("refrigerant", known.name)),
    )


def _source(limit: Sourced[float]) -> str:
    return f"{limit.source} ({limit.status})" + (f"; {limit.note}" if limit.note else "")
