"""From the domain's frozen values to the plain values of the file, keys in canonical order.

Keys come in the order of the format's own example, unknown keys behind the known ones in the order found.  Every key is
written, also where it is null or at its default, with these exceptions, which would only lengthen a file:

- leg: ``size`` beside a double riser, ``double_riser``, ``fall``, ``tube`` and ``parts`` at their defaults;
- part: ``loss``, ``closes`` and ``relieves`` at their defaults, and of a loss the forms that are not stated;
- double riser: ``small_parts`` and ``large_parts`` where the default bends hold;
- circuit: ``blend`` where the refrigerant is a shipped one, and in it what its owner does not state;
- equipment: what belongs to other roles, at its default; ``maker_limits``, and in it what the maker does not give.

Keys whose order the example leaves open stand beside their kin: an equipment's ``kind`` behind its role, a leg's
``fall`` behind its place and its ``tube`` behind its joint.
"""

from __future__ import annotations

from linesizer.domain.blend import Blend
from linesizer.domain.circuit import Circuit, Compressor, HeadPressureControl
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, MakerLimits, Role
from linesizer.domain.extra import Json
from linesizer.domain.job import Job, JobInfo, PracticeChoice, Review, Room, Site
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import DoubleRiser, FittingAt, Leg, Line, RiserPart
from linesizer.storage.models import FORMAT, VERSION

_Object = dict[str, Json]

_OWN_KEYS = {
    Role.UNIT: frozenset(("holds_kg", "operating_kg", "connections")),
    Role.CONDENSER: frozenset(("volume_m3", "mean_liquid_fraction", "design_td_K", "drop_Pa", "at_kg_s", "share")),
    Role.RECEIVER: frozenset(("kind", "volume_m3", "operating_fill")),
    Role.SUBCOOLER: frozenset(("volume_m3", "drop_Pa", "at_kg_s")),
}
"""The keys of each role that are written even at their defaults."""


def plain(job: Job) -> _Object:
    """Return a job as plain JSON values with its keys in canonical order."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "job": _info(job.info),
        "site": _site(job.site),
        "practice": _practice(job.practice),
        "circuits": [_circuit(circuit) for circuit in job.circuits],
        "record": list(job.record),
        "review": _review(job.review),
        **dict(job.extra),
    }


def _number(value: float | None) -> float | None:
    # A whole number given by a caller and the same one read from a file are written alike.
    return None if value is None else float(value)


def _info(info: JobInfo) -> _Object:
    return {
        "title": info.title,
        "number": info.number,
        "prepared_by": info.prepared_by,
        "revision": info.revision,
        "date": info.date,
        "notes": info.notes,
        **dict(info.extra),
    }


def _site(site: Site) -> _Object:
    return {
        "altitude_m": _number(site.altitude_m),
        "summer_ambient_C": _number(site.summer_ambient_C),
        "winter_ambient_C": _number(site.winter_ambient_C),
        "indoor_ambient_C": _number(site.indoor_ambient_C),
        "rooms": [_room(room) for room in site.rooms],
        "electricity_price_kWh": _number(site.electricity_price_kWh),
        **dict(site.extra),
    }


def _room(room: Room) -> _Object:
    return {
        "id": room.id,
        "name": room.name,
        "volume_m3": _number(room.volume_m3),
        "ambient_C": _number(room.ambient_C),
        "occupied": room.occupied,
        **dict(room.extra),
    }


def _practice(practice: PracticeChoice) -> _Object:
    return {"set": practice.set, "overrides": dict(practice.overrides), **dict(practice.extra)}


def _review(review: Review) -> _Object:
    return {
        "comments": list(review.comments),
        "waivers": list(review.waivers),
        "disposition": review.disposition,
        **dict(review.extra),
    }


def _circuit(circuit: Circuit) -> _Object:
    return {
        "id": circuit.id,
        "name": circuit.name,
        "refrigerant": circuit.refrigerant,
        "use": circuit.use.value,
        "temperature_basis": circuit.temperature_basis.value,
        "oil": circuit.oil,
        "film_density_kg_m3": _number(circuit.film_density_kg_m3),
        "compressor": _compressor(circuit.compressor),
        "conditions": [_condition(condition) for condition in circuit.conditions],
        "charge_condition": circuit.charge_condition,
        "heat_exchange": circuit.heat_exchange,
        "maximum_pressure_Pa": _number(circuit.maximum_pressure_Pa),
        "head_pressure_control": _head_pressure_control(circuit.head_pressure_control),
        "equipment": [_equipment(equipment) for equipment in circuit.equipment],
        "lines": [_line(line) for line in circuit.lines],
        **({} if circuit.blend is None else {"blend": _blend(circuit.blend)}),
        **dict(circuit.extra),
    }


def _blend(blend: Blend) -> _Object:
    stated: list[tuple[str, Json]] = [
        ("safety_group", blend.safety_group),
        ("gwp", _number(blend.gwp)),
        ("rcl_kg_m3", _number(blend.rcl_kg_m3)),
    ]
    return {
        "basis": blend.basis.value,
        "composition": {name: float(share) for name, share in blend.composition},
        **{key: value for key, value in stated if value is not None},
        **dict(blend.extra),
    }


def _compressor(compressor: Compressor) -> _Object:
    return {
        "kind": compressor.kind.value,
        "isentropic_efficiency": _number(compressor.isentropic_efficiency),
        "drive_efficiency": _number(compressor.drive_efficiency),
        "oil_separator": compressor.oil_separator,
        **dict(compressor.extra),
    }


def _condition(condition: Condition) -> _Object:
    return {
        "id": condition.id,
        "name": condition.name,
        "capacity_W": _number(condition.capacity_W),
        "evaporating_C": _number(condition.evaporating_C),
        "leaving_fluid_C": _number(condition.leaving_fluid_C),
        "approach_K": _number(condition.approach_K),
        "condensing_C": _number(condition.condensing_C),
        "superheat_K": _number(condition.superheat_K),
        "suction_heat_K": _number(condition.suction_heat_K),
        "subcooling_K": _number(condition.subcooling_K),
        "subcooling_at": condition.subcooling_at.value,
        "ambient_C": _number(condition.ambient_C),
        "bypass": _number(condition.bypass),
        "discharge_C": _number(condition.discharge_C),
        "isentropic_efficiency": _number(condition.isentropic_efficiency),
        "hours_per_year": _number(condition.hours_per_year),
        **dict(condition.extra),
    }


def _head_pressure_control(control: HeadPressureControl) -> _Object:
    return {
        "kind": control.kind.value,
        "minimum_condensing_C": _number(control.minimum_condensing_C),
        "differential_Pa": _number(control.differential_Pa),
        **dict(control.extra),
    }


def _equipment(equipment: Equipment) -> _Object:
    by_role: list[tuple[str, Json, Json]] = [
        ("holds_kg", _number(equipment.holds_kg), 0.0),
        ("operating_kg", _number(equipment.operating_kg), None),
        ("volume_m3", _number(equipment.volume_m3), None),
        ("mean_liquid_fraction", _number(equipment.mean_liquid_fraction), None),
        ("operating_fill", _number(equipment.operating_fill), None),
        ("design_td_K", _number(equipment.design_td_K), None),
        ("drop_Pa", _number(equipment.drop_Pa), None),
        ("at_kg_s", _number(equipment.at_kg_s), None),
        ("share", _number(equipment.share), None),
        ("connections", dict(equipment.connections), {}),
    ]
    own = _OWN_KEYS[equipment.role]
    document: _Object = {"id": equipment.id, "role": equipment.role.value}
    if equipment.kind is not None or "kind" in own:
        document["kind"] = None if equipment.kind is None else equipment.kind.value
    document |= {"name": equipment.name, "at_m": [float(part) for part in equipment.at_m], "place": equipment.place}
    document |= {key: value for key, value, default in by_role if key in own or value != default}
    if equipment.maker_limits is not None:
        document["maker_limits"] = _maker_limits(equipment.maker_limits)
    return document | dict(equipment.extra)


def _maker_limits(limits: MakerLimits) -> _Object:
    given: _Object = {
        "length_m": _number(limits.length_m),
        "lift_m": _number(limits.lift_m),
        "drop_m": _number(limits.drop_m),
        "charge_kg": _number(limits.charge_kg),
        "discharge_sizes": list(limits.discharge_sizes),
        "liquid_sizes": list(limits.liquid_sizes),
    }
    return {**{key: value for key, value in given.items() if value not in (None, [])}, **dict(limits.extra)}


def _line(line: Line) -> _Object:
    return {
        "id": line.id,
        "service": line.service.value,
        "tube": line.tube,
        "default_size": line.default_size,
        "listed_rating_Pa": _number(line.listed_rating_Pa),
        "nodes": {node.id: [float(part) for part in node.at_m] for node in line.nodes},
        "ends": {end.node: end.text for end in line.ends},
        "legs": [_leg(leg) for leg in line.legs],
        "fittings": {fitting.node: _fitting(fitting) for fitting in line.fittings},
        **dict(line.extra),
    }


def _fitting(fitting: FittingAt) -> _Object:
    return {"kind": fitting.kind, **dict(fitting.extra)}


def _leg(leg: Leg) -> _Object:
    document: _Object = {"id": leg.id, "from": leg.start, "to": leg.end}
    if leg.double_riser is None or leg.size is not None:
        document["size"] = leg.size
    if leg.double_riser is not None:
        document["double_riser"] = _double_riser(leg.double_riser)
    document["place"] = leg.place
    if leg.fall != 0.0:
        document["fall"] = float(leg.fall)
    document["insulation_m"] = float(leg.insulation_m)
    document["insulation_W_mK"] = _number(leg.insulation_W_mK)
    document["joint"] = leg.joint.value
    if leg.tube is not None:
        document["tube"] = leg.tube
    if leg.parts:
        document["parts"] = [_part(part) for part in leg.parts]
    return document | dict(leg.extra) if leg.extra else document


def _double_riser(riser: DoubleRiser) -> _Object:
    document: _Object = {"small": riser.small, "large": riser.large, "seal_m": float(riser.seal_m)}
    if riser.small_parts is not None:
        document["small_parts"] = [_riser_part(part) for part in riser.small_parts]
    if riser.large_parts is not None:
        document["large_parts"] = [_riser_part(part) for part in riser.large_parts]
    return document | dict(riser.extra)


def _riser_part(part: RiserPart) -> _Object:
    return {"kind": part.kind, "count": part.count, **dict(part.extra)}


def _part(part: Part) -> _Object:
    document: _Object = {"id": part.id, "kind": part.kind, "at": float(part.at)}
    if part.loss is not None:
        document["loss"] = _loss(part.loss)
    if part.closes is not None:
        document["closes"] = part.closes
    if part.relieves is not None:
        document["relieves"] = part.relieves
    return document | dict(part.extra)


def _loss(loss: PartLoss) -> _Object:
    forms = {
        "equivalent_length_m": loss.equivalent_length_m,
        "k": loss.k,
        "kv_m3_h": loss.kv_m3_h,
        "drop_Pa": loss.drop_Pa,
        "at_kg_s": loss.at_kg_s,
    }
    return {**{key: float(value) for key, value in forms.items() if value is not None}, **dict(loss.extra)}
