"""How the models hang together: which keys an object has, and what may stand at a place of the file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args, get_origin

from pydantic.fields import FieldInfo

from linesizer.domain.extra import Json
from linesizer.storage.models import JobModel, Model
from linesizer.storage.places import Place


@dataclass(frozen=True, slots=True)
class Shape:
    """The keys of one kind of object: all, and those with objects of a known kind below (one, a list, by name)."""

    fields: dict[str, FieldInfo]
    single: dict[str, type[Model]]
    listed: dict[str, type[Model]]
    by_name: dict[str, type[Model]]


@dataclass(frozen=True, slots=True)
class Slot:
    """What may stand at a place: its kind, the rules on it, whether null may, and the key that names its unit."""

    kind: Any
    rules: tuple[Any, ...]
    nullable: bool
    key: str
    words: str | None
    required: bool


@cache
def shape(model: type[Model]) -> Shape:
    """Return the shape of one kind of object; its keys are those of the file (``from``, not ``start``)."""
    fields = {field.alias or name: field for name, field in model.model_fields.items()}
    found = Shape(fields, {}, {}, {})
    for key, field in fields.items():
        slot = _slot(field.annotation, key)
        arguments = get_args(slot.kind)
        if is_model(slot.kind):
            found.single[key] = slot.kind
        elif arguments and is_model(arguments[-1]):
            (found.listed if get_origin(slot.kind) is list else found.by_name)[key] = arguments[-1]
    return found


def is_model(kind: Any) -> bool:
    """Tell whether a kind is an object with known keys."""
    return isinstance(kind, type) and issubclass(kind, Model)


def slot_at(place: Place) -> Slot | None:
    """Return what may stand at a place, or None where the place holds whatever a person likes."""
    slot = Slot(JobModel, (), False, "", None, True)
    for step in place:
        origin, arguments = get_origin(slot.kind), get_args(slot.kind)
        if is_model(slot.kind):
            field = shape(slot.kind).fields.get(str(step))
            if field is None:
                return None
            slot = _slot(field.annotation, str(step), field)
        elif origin is list and isinstance(step, int):
            slot = _slot(arguments[0], slot.key)
        elif origin is dict:
            slot = _slot(arguments[1], slot.key)
        elif origin is tuple and isinstance(step, int) and step < len(arguments):
            slot = _slot(arguments[step], slot.key)
        else:
            return None
    return slot


def _slot(annotation: Any, key: str, field: FieldInfo | None = None) -> Slot:
    rules: list[Any] = list(field.metadata) if field else []
    words = field.description if field else None
    nullable = False
    while True:
        metadata = getattr(annotation, "__metadata__", None)
        arguments = get_args(annotation)
        if metadata is not None:
            for said in metadata:
                if isinstance(said, FieldInfo):
                    rules += said.metadata
                    words = words or said.description
            annotation = annotation.__origin__
        elif type(None) in arguments:
            nullable = True
            annotation = next(part for part in arguments if part is not type(None))
        else:
            return Slot(annotation, tuple(rules), nullable, key, words, field is None or field.is_required())


def unknown_keys(document: Json) -> Iterator[tuple[Place, type[Model]]]:
    """Yield the place of each unknown key of a plain document, with the kind of object that it stands in."""
    if isinstance(document, dict):
        yield from _unknown_keys(document, JobModel, ())


def _unknown_keys(item: dict[str, Json], model: type[Model], place: Place) -> Iterator[tuple[Place, type[Model]]]:
    here = shape(model)
    if not item.keys() <= here.fields.keys():
        for key in item:
            if key not in here.fields:
                yield (*place, key), model
    for key, kind in here.single.items():
        value = item.get(key)
        if isinstance(value, dict):
            yield from _unknown_keys(value, kind, (*place, key))
    for key, kind in here.by_name.items():
        value = item.get(key)
        if isinstance(value, dict):
            for name, below in value.items():
                if isinstance(below, dict):
                    yield from _unknown_keys(below, kind, (*place, key, name))
    for key, kind in here.listed.items():
        value = item.get(key)
        if isinstance(value, list):
            for index, below in enumerate(value):
                if isinstance(below, dict):
                    yield from _unknown_keys(below, kind, (*place, key, index))
