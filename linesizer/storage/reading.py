"""From the checked models of the file to the domain's frozen values."""

from __future__ import annotations

from linesizer.domain.blend import Blend
from linesizer.domain.circuit import Circuit, Compressor, HeadPressureControl
from linesizer.domain.condition import Condition
from linesizer.domain.equipment import Equipment, MakerLimits
from linesizer.domain.extra import Extra
from linesizer.domain.job import Job, JobInfo, PracticeChoice, Review, Room, Site
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import DoubleRiser, FittingAt, Leg, Line, LineEnd, Node, RiserPart
from linesizer.storage import models


def job_from(model: models.JobModel) -> Job:
    """Return the job that a checked file describes."""
    info, practice, review = model.job, model.practice, model.review
    return Job(
        circuits=tuple(_circuit(circuit) for circuit in model.circuits),
        info=JobInfo(
            title=info.title,
            number=info.number,
            prepared_by=info.prepared_by,
            revision=info.revision,
            date=info.date,
            notes=info.notes,
            extra=_extra(info),
        ),
        site=_site(model.site),
        practice=PracticeChoice(set=practice.set, overrides=tuple(practice.overrides.items()), extra=_extra(practice)),
        record=tuple(model.record),
        review=Review(
            comments=tuple(review.comments),
            waivers=tuple(review.waivers),
            disposition=review.disposition,
            extra=_extra(review),
        ),
        extra=_extra(model),
    )


def line_from(model: models.LineModel) -> Line:
    """Return one line; what it refers to need not be there."""
    return Line(
        id=model.id,
        service=model.service,
        nodes=tuple(Node(name, at) for name, at in model.nodes.items()),
        legs=tuple(_leg(leg) for leg in model.legs),
        tube=model.tube,
        default_size=model.default_size,
        listed_rating_Pa=model.listed_rating_Pa,
        ends=tuple(_end(node, text) for node, text in model.ends.items()),
        fittings=tuple(FittingAt(node, fitting.kind, _extra(fitting)) for node, fitting in model.fittings.items()),
        extra=_extra(model),
    )


def split_end(text: str) -> tuple[str, str | None]:
    """Return the equipment's id and the port that an end names (``unit:discharge``); None where it names no port."""
    equipment, colon, port = text.partition(":")
    return equipment, port if colon else None


def _extra(model: models.Model) -> Extra:
    unknown = model.__pydantic_extra__
    return tuple(unknown.items()) if unknown else ()


def _site(model: models.SiteModel) -> Site:
    return Site(
        altitude_m=model.altitude_m,
        summer_ambient_C=model.summer_ambient_C,
        winter_ambient_C=model.winter_ambient_C,
        indoor_ambient_C=model.indoor_ambient_C,
        rooms=tuple(
            Room(room.id, room.name, room.volume_m3, room.ambient_C, room.occupied, _extra(room))
            for room in model.rooms
        ),
        electricity_price_kWh=model.electricity_price_kWh,
        extra=_extra(model),
    )


def _circuit(model: models.CircuitModel) -> Circuit:
    compressor, control = model.compressor, model.head_pressure_control
    return Circuit(
        id=model.id,
        refrigerant=model.refrigerant,
        conditions=tuple(_condition(condition) for condition in model.conditions),
        name=model.name,
        use=model.use,
        temperature_basis=model.temperature_basis,
        oil=model.oil,
        film_density_kg_m3=model.film_density_kg_m3,
        compressor=Compressor(
            kind=compressor.kind,
            isentropic_efficiency=compressor.isentropic_efficiency,
            drive_efficiency=compressor.drive_efficiency,
            oil_separator=compressor.oil_separator,
            extra=_extra(compressor),
        ),
        charge_condition=model.charge_condition,
        heat_exchange=model.heat_exchange,
        maximum_pressure_Pa=model.maximum_pressure_Pa,
        head_pressure_control=HeadPressureControl(
            kind=control.kind,
            minimum_condensing_C=control.minimum_condensing_C,
            differential_Pa=control.differential_Pa,
            extra=_extra(control),
        ),
        equipment=tuple(_equipment(equipment) for equipment in model.equipment),
        lines=tuple(line_from(line) for line in model.lines),
        blend=None if model.blend is None else blend_from(model.blend),
        extra=_extra(model),
    )


def blend_from(model: models.BlendModel) -> Blend:
    """Return what a blend is made of."""
    return Blend(
        composition=tuple(model.composition.items()),
        basis=model.basis,
        safety_group=model.safety_group,
        gwp=model.gwp,
        rcl_kg_m3=model.rcl_kg_m3,
        extra=_extra(model),
    )


def _condition(model: models.ConditionModel) -> Condition:
    return Condition(
        id=model.id,
        capacity_W=model.capacity_W,
        condensing_C=model.condensing_C,
        superheat_K=model.superheat_K,
        subcooling_K=model.subcooling_K,
        name=model.name,
        evaporating_C=model.evaporating_C,
        leaving_fluid_C=model.leaving_fluid_C,
        approach_K=model.approach_K,
        suction_heat_K=model.suction_heat_K,
        subcooling_at=model.subcooling_at,
        ambient_C=model.ambient_C,
        bypass=model.bypass,
        discharge_C=model.discharge_C,
        isentropic_efficiency=model.isentropic_efficiency,
        hours_per_year=model.hours_per_year,
        extra=_extra(model),
    )


def _equipment(model: models.EquipmentModel) -> Equipment:
    return Equipment(
        id=model.id,
        role=model.role,
        name=model.name,
        kind=model.kind,
        at_m=model.at_m,
        place=model.place,
        holds_kg=model.holds_kg,
        operating_kg=model.operating_kg,
        volume_m3=model.volume_m3,
        mean_liquid_fraction=model.mean_liquid_fraction,
        operating_fill=model.operating_fill,
        design_td_K=model.design_td_K,
        drop_Pa=model.drop_Pa,
        at_kg_s=model.at_kg_s,
        share=model.share,
        connections=tuple(model.connections.items()),
        maker_limits=None if model.maker_limits is None else _maker_limits(model.maker_limits),
        extra=_extra(model),
    )


def _maker_limits(model: models.MakerLimitsModel) -> MakerLimits:
    return MakerLimits(
        length_m=model.length_m,
        lift_m=model.lift_m,
        drop_m=model.drop_m,
        charge_kg=model.charge_kg,
        discharge_sizes=tuple(model.discharge_sizes),
        liquid_sizes=tuple(model.liquid_sizes),
        extra=_extra(model),
    )


def _end(node: str, text: str) -> LineEnd:
    equipment, port = split_end(text)
    return LineEnd(node, equipment, port)


def _leg(model: models.LegModel) -> Leg:
    return Leg(
        id=model.id,
        start=model.start,
        end=model.end,
        size=model.size,
        double_riser=_double_riser(model.double_riser) if model.double_riser else None,
        place=model.place,
        insulation_m=model.insulation_m,
        insulation_W_mK=model.insulation_W_mK,
        joint=model.joint,
        fall=model.fall,
        tube=model.tube,
        parts=tuple(_part(part) for part in model.parts),
        extra=_extra(model),
    )


def _double_riser(model: models.DoubleRiserModel) -> DoubleRiser:
    return DoubleRiser(
        small=model.small,
        large=model.large,
        seal_m=model.seal_m,
        small_parts=_riser_parts(model.small_parts),
        large_parts=_riser_parts(model.large_parts),
        extra=_extra(model),
    )


def _riser_parts(parts: list[models.RiserPartModel] | None) -> tuple[RiserPart, ...] | None:
    return None if parts is None else tuple(RiserPart(part.kind, part.count, _extra(part)) for part in parts)


def _part(model: models.PartModel) -> Part:
    loss = model.loss
    return Part(
        id=model.id,
        kind=model.kind,
        at=model.at,
        loss=None
        if loss is None
        else PartLoss(
            equivalent_length_m=loss.equivalent_length_m,
            k=loss.k,
            kv_m3_h=loss.kv_m3_h,
            drop_Pa=loss.drop_Pa,
            at_kg_s=loss.at_kg_s,
            extra=_extra(loss),
        ),
        closes=model.closes,
        relieves=model.relieves,
        extra=_extra(model),
    )
