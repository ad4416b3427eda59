"""What one value of a line cannot tell alone: nodes, sizes, parts, ends, the route."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeAlias

from linesizer.domain.extra import Json
from linesizer.domain.geometry import route_problems
from linesizer.domain.route import Line
from linesizer.storage import references
from linesizer.storage.places import (
    KINDS,
    Fault,
    Place,
    items,
    listing,
    named,
    object_at,
    path_text,
    place_below,
    quoted,
    text_at,
)
from linesizer.storage.reading import split_end
from linesizer.storage.wording import choice, near

INDOOR, OUTDOOR = "indoor", "outdoor"

Object: TypeAlias = dict[str, Json]
SoundLine: TypeAlias = Callable[[Place, Object], Line | None]
"""Returns the line at a place where the models found nothing wrong with it, else None."""


def repeated_ids(item: Object, key: str, place: Place) -> Iterator[Fault]:
    """Yield the ids that stand twice in one list."""
    seen: dict[str, int] = {}
    for index, below in items(item.get(key)):
        name = text_at(below, "id")
        if name is None:
            continue
        if name in seen:
            first = path_text((*place, key, seen[name]))
            found = f"{quoted(name)} is the id of {first} already"
            yield Fault((*place, key, index, "id"), found, "an id that no other of the list has")
        else:
            seen[name] = index


def place_faults(place: Place, item: Object, rooms: tuple[str, ...]) -> Iterator[Fault]:
    """Yield that a leg or a piece of equipment stands in no place of the site."""
    room = text_at(item, "place")
    if room is not None and room not in (INDOOR, OUTDOOR) and room not in rooms:
        rest = f", or one of the site's rooms: {listing(rooms)}" if rooms else "; the site has no rooms yet"
        found = f"no room with the id {quoted(room)}" + _for(KINDS[str(place[-2])], item)
        yield Fault((*place, "place"), found, f"{INDOOR}, {OUTDOOR}{rest}")


def _for(kind: str, item: Object) -> str:
    whose = named(kind, item)
    return f" for {whose}" if whose else ""


def line_faults(
    line: Object, place: Place, rooms: tuple[str, ...], machines: tuple[str, ...], sound_line: SoundLine
) -> Iterator[Fault]:
    """Yield what is wrong within one line, and between it and the rooms and machines (their ids) around it."""
    yield from repeated_ids(line, "legs", place)
    nodes = tuple(object_at(line, "nodes"))
    node_set = frozenset(nodes)
    tube: str | None = text_at(line, "tube") or "ASTM-B280-drawn"
    owner = ("line", line)
    yield from _tube((*place, "tube"), tube, owner)
    default = text_at(line, "default_size")
    if default is not None:
        yield from _size((*place, "default_size"), tube, default, owner)
    room_set = frozenset(rooms)
    for index, leg in items(line.get("legs")):
        at = (*place, "legs", index)
        for key in ("from", "to"):
            name = text_at(leg, key)
            if name is not None and name not in node_set:
                yield _no_node((*at, key), name, nodes)
        room = text_at(leg, "place")
        if room is not None and room not in room_set:
            yield from place_faults(at, leg, rooms)
        yield from _leg(leg, at, tube, default)
    yield from _ends_and_fittings(line, place, nodes, machines)
    whole = sound_line(place, line)
    if whole is not None:
        for problem in route_problems(whole):
            yield Fault(place_below(place, problem.where), problem.found, problem.allowed)


def _no_node(place: Place, name: str, nodes: tuple[str, ...]) -> Fault:
    allowed = f"nodes of this line: {listing(nodes)}" if nodes else "this line has no nodes yet"
    return Fault(place, f"no node named {quoted(name)}", allowed)


def _leg(leg: Object, place: Place, line_tube: str | None, default: str | None) -> Iterator[Fault]:
    own_tube = text_at(leg, "tube")
    if own_tube is not None:
        yield from _tube((*place, "tube"), own_tube, ("leg", leg))
    tube = own_tube or line_tube
    size, riser = text_at(leg, "size"), leg.get("double_riser")
    if size is not None and isinstance(riser, dict):
        found = f"{named('leg', leg) or 'this leg'} has a size and a double riser"
        yield Fault((*place, "size"), found, "one of the two; make the other null")
    elif size is not None:
        yield from _size((*place, "size"), tube, size, ("leg", leg))
    elif default is not None and own_tube is not None and own_tube != line_tube and not isinstance(riser, dict):
        yield from _size((*place, "size"), tube, default, ("leg", leg), "the line's default size ")
    if isinstance(riser, dict):
        for key in ("small", "large"):
            tube_size = text_at(riser, key)
            if tube_size is not None:
                yield from _size((*place, "double_riser", key), tube, tube_size, ("leg", leg))
        for key in ("small_parts", "large_parts"):
            for index, bend in items(riser.get(key)):
                yield from _fitting_kind((*place, "double_riser", key, index, "kind"), bend)
    if leg.get("parts"):
        yield from repeated_ids(leg, "parts", place)
        for index, part in items(leg.get("parts")):
            yield from _part(part, (*place, "parts", index))


def _part(part: Object, place: Place) -> Iterator[Fault]:
    kind = text_at(part, "kind")
    if kind is not None and kind not in references.part_kinds():
        yield Fault((*place, "kind"), *choice("part kind", kind, references.part_kinds(), "part kinds"))
    loss = part.get("loss")
    if not isinstance(loss, dict):
        return
    forms = ("equivalent_length_m", "k", "kv_m3_h", "drop_Pa")
    stated = [form for form in forms if loss.get(form) is not None]
    name = named("part", part) or "this part"
    if len(stated) != 1:
        found = f"the loss of {name} has {' and '.join(stated) or 'no form'}"
        yield Fault((*place, "loss"), found, f"exactly one of {', '.join(forms)}")
    if loss.get("at_kg_s") is not None and "drop_Pa" not in stated:
        yield Fault((*place, "loss", "at_kg_s"), f"the loss of {name} has at_kg_s without drop_Pa", "drop_Pa beside it")


def _tube(place: Place, tube: str | None, owner: tuple[str, Object]) -> Iterator[Fault]:
    if tube is not None and tube not in references.tube_ids():
        found = f"no tube named {quoted(tube)}" + _for(*owner)
        close = near(tube, references.tube_ids(), most=1)
        nearest = f" (nearest: {close[0]})" if close else ""
        yield Fault(place, found, f"tubes: {', '.join(references.tube_ids())}{nearest}")


def _size(place: Place, tube: str | None, size: str, owner: tuple[str, Object], before: str = "") -> Iterator[Fault]:
    if tube not in references.tube_ids() or tube is None or size in references.sizes(tube):
        return
    names, close = references.sizes(tube), references.near_sizes(tube, size)
    nearest = f"; near names: {', '.join(close)}" if close else ""
    found = f"{before}{quoted(size)} is no size of {tube}" + _for(*owner)
    yield Fault(place, found, f"sizes {names[0]} to {names[-1]}{nearest}")


def _fitting_kind(place: Place, item: Object) -> Iterator[Fault]:
    kind = text_at(item, "kind")
    if kind is not None and kind not in references.fitting_kinds():
        yield Fault(place, *choice("fitting", kind, references.fitting_kinds(), "fittings"))


def _ends_and_fittings(
    line: Object, place: Place, nodes: tuple[str, ...], machines: tuple[str, ...]
) -> Iterator[Fault]:
    leaves = {text_at(leg, "from") for _, leg in items(line.get("legs"))}
    arrives = {text_at(leg, "to") for _, leg in items(line.get("legs"))}
    ends = tuple(name for name in nodes if (name in leaves) != (name in arrives))
    for node, text in object_at(line, "ends").items():
        at = (*place, "ends", node)
        if node not in nodes:
            yield _no_node(at, node, nodes)
        elif node in leaves and node in arrives and ends:
            allowed = f"a node where flow enters or leaves the line: {listing(ends)}"
            yield Fault(at, f"flow passes through node {quoted(node)}", allowed)
        if isinstance(text, str):
            equipment, port = split_end(text)
            if equipment not in machines:
                known = f"equipment of this circuit: {listing(machines)}"
                allowed = known if machines else "this circuit has no equipment yet"
                yield Fault(at, f"no equipment with the id {quoted(equipment)}", allowed)
            elif port == "":
                yield Fault(at, f"{quoted(text)} names no port after its colon", "a port after the colon, or no colon")
    for node, fitting in object_at(line, "fittings").items():
        at = (*place, "fittings", node)
        if node not in nodes:
            yield _no_node(at, node, nodes)
        if isinstance(fitting, dict):
            yield from _fitting_kind((*at, "kind"), fitting)
