"""From a drawn route to what resists its flow: lengths, rises, the losses of fittings and parts, the tubes' bores."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesizer.catalog.fittings import LossMethod, fitting_kind, fitting_loss_coefficients, loss_coefficients
from linesizer.catalog.parts import LossForm, part_kind
from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import TubeCatalogue, TubeSize, tube_catalogue
from linesizer.domain.geometry import LineGeometry, line_geometry
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import Line
from linesizer.solver.arrays import FloatArray
from linesizer.solver.fitting_loss import angle_weights
from linesizer.solver.line import Run
from linesizer.solver.losses import Losses


@dataclass(frozen=True, slots=True)
class LineTubes:
    """The tube of each leg in the order of flow."""

    catalogues: tuple[TubeCatalogue, ...]
    sizes: tuple[TubeSize, ...]

    @property
    def bore_m(self) -> FloatArray:
        """Bores, (legs,), [m]."""
        return np.array([size.inside_diameter_m for size in self.sizes])

    @property
    def roughness_m(self) -> FloatArray:
        """Roughnesses, (legs,), [m]."""
        return np.array([catalogue.roughness_m for catalogue in self.catalogues])


def line_tubes(line: Line) -> LineTubes | None:
    """Return the tube of each leg of a line, or None where a leg has no size and the line no default one."""
    catalogues, sizes = [], []
    for geometry in line_geometry(line).legs:
        leg = geometry.leg
        size = leg.size if leg.size is not None else line.default_size
        if size is None:
            return None
        catalogue = tube_catalogue(leg.tube if leg.tube is not None else line.tube)
        catalogues.append(catalogue)
        sizes.append(catalogue.find(size))
    return LineTubes(tuple(catalogues), tuple(sizes))


def line_run(line: Line, practice: PracticeSet, design_flow_kg_s: float, method: LossMethod) -> Run:
    """Return an unbranched line's legs with their losses.

    Parameters
    ----------
    line : Line
        A sound, unbranched line.
    practice : PracticeSet
        Gives the drop of the parts that go by a practice rule, and the rise of a loop.
    design_flow_kg_s : float
        The greatest flow of the line; a default loss that is stated as a drop holds at this flow, [kg/s].
    method : LossMethod
        Correlation for the fittings.

    Returns
    -------
    Run
        Arrays over the legs in the order of flow.
    """
    geometry = line_geometry(line)
    legs = len(geometry.legs)
    exponent = 0.3 if method is LossMethod.THREE_K else 1.0
    fittings, parts = Losses.none(legs, exponent), Losses.none(legs, exponent)
    _add_fittings(line, geometry, practice, method, fittings)
    for index, leg in enumerate(geometry.legs):
        for part in leg.leg.parts:
            _add_part(parts, index, part, practice, design_flow_kg_s, method)
    return Run(
        length_m=np.array([leg.length_m for leg in geometry.legs]),
        rise_m=np.array([leg.rise_m for leg in geometry.legs]),
        fittings=fittings,
        parts=parts,
    )


def _add_fittings(
    line: Line, geometry: LineGeometry, practice: PracticeSet, method: LossMethod, losses: Losses
) -> None:
    """Add what stands at the start of each leg: the stated fitting, else the bend that the route makes there."""
    stated = {fitting.node: fitting.kind for fitting in line.fittings}
    sources = set(geometry.sources)
    for index, (leg, turn) in enumerate(zip(geometry.legs, geometry.turns_deg, strict=True)):
        kind = stated.get(leg.leg.start)
        if kind is not None:
            _add_fitting(losses, index, kind, practice, method)
        elif leg.leg.start not in sources and turn > 0.0:
            _add_bend(losses, index, turn, method)
    # A fitting stated at the line's end, such as a loop above a condenser, belongs to the leg that arrives.
    for sink in geometry.sinks:
        if sink in stated:
            last = next(i for i, leg in enumerate(geometry.legs) if leg.leg.end == sink)
            _add_fitting(losses, last, stated[sink], practice, method)


def _add_row(losses: Losses, index: int, row: str, count: float, method: LossMethod) -> None:
    constants = loss_coefficients(row, method)
    losses.k1[index] += count * constants.k1
    losses.k_fixed[index] += count * constants.ki
    losses.k_by_bore[index] += count * constants.ki * constants.kd


def _add_fitting(losses: Losses, index: int, kind: str, practice: PracticeSet, method: LossMethod) -> None:
    fitting = fitting_kind(kind)
    for constants, count in fitting_loss_coefficients(kind, method):
        _add_row(losses, index, constants.row, count, method)
    losses.bores[index] += fitting.tube_bores
    if fitting.rise_rule is not None:
        losses.length_m[index] += fitting.tube_rises * practice.value(fitting.rise_rule)


def _add_bend(losses: Losses, index: int, turn_deg: float, method: LossMethod) -> None:
    part_45, part_90 = angle_weights(turn_deg)
    for row, weight in (("elbow_45", part_45), ("elbow_90_long", part_90)):
        if weight > 0.0:
            _add_row(losses, index, row, weight, method)


def _add_part(
    losses: Losses, index: int, part: Part, practice: PracticeSet, design_flow_kg_s: float, method: LossMethod
) -> None:
    if part.loss is not None:
        _add_stated(losses, index, part.loss)
        return
    default = part_kind(part.kind).loss
    match default.form:
        case LossForm.NONE:
            return
        case LossForm.ROW if default.row is not None:
            _add_row(losses, index, default.row, 1.0, method)
        case LossForm.K if default.value is not None:
            losses.k_fixed[index] += default.value
        case LossForm.DROP if default.value is not None:
            losses.drop_per_flow2[index] += default.value / design_flow_kg_s**2
        case LossForm.RULE if default.rule is not None:
            losses.drop_per_flow2[index] += practice.value(default.rule) / design_flow_kg_s**2
        case _:
            raise ValueError(f"part kind {part.kind!r} has an incomplete default loss")


def _add_stated(losses: Losses, index: int, loss: PartLoss) -> None:
    if loss.equivalent_length_m is not None:
        losses.length_m[index] += loss.equivalent_length_m
    elif loss.k is not None:
        losses.k_fixed[index] += loss.k
    elif loss.kv_m3_h is not None:
        losses.inverse_kv2[index] += 1.0 / loss.kv_m3_h**2
    elif loss.drop_Pa is not None:
        if loss.at_kg_s is None:
            losses.drop_Pa[index] += loss.drop_Pa
        else:
            losses.drop_per_flow2[index] += loss.drop_Pa / loss.at_kg_s**2
