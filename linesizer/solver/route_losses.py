"""From a drawn route to what resists its flow: lengths, rises, the losses of fittings and parts, the tubes' bores."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from linesizer.catalog.fittings import (
    LossMethod,
    double_riser_bends,
    fitting_kind,
    fitting_loss_coefficients,
    loss_coefficients,
)
from linesizer.catalog.parts import LossForm, part_kind
from linesizer.catalog.practice import PracticeSet
from linesizer.catalog.tubes import TubeCatalogue, TubeSize, tube_catalogue
from linesizer.domain.condenser_paths import Tee
from linesizer.domain.geometry import LineGeometry, line_geometry
from linesizer.domain.part import Part, PartLoss
from linesizer.domain.route import Line
from linesizer.solver.arrays import FloatArray
from linesizer.solver.double_riser import Twins
from linesizer.solver.fitting_loss import angle_weights
from linesizer.solver.line import Run
from linesizer.solver.line_loads import TeeLosses
from linesizer.solver.losses import Losses


@dataclass(frozen=True, slots=True)
class LineTubes:
    """The tube of each leg in the order of flow; a double riser's leg has two, small and large."""

    catalogues: tuple[TubeCatalogue, ...]
    sizes: tuple[tuple[TubeSize, ...], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """What each leg is called by its size, ``7/8 + 1-3/8`` for a double riser."""
        return tuple(" + ".join(size.size for size in sizes) for sizes in self.sizes)

    @property
    def bore_m(self) -> FloatArray:
        """Bores, (legs,), [m]; of a double riser that of one tube with the area of both."""
        return np.array([sum(size.inside_diameter_m**2 for size in sizes) ** 0.5 for sizes in self.sizes])

    @property
    def outside_diameter_m(self) -> FloatArray:
        """Outside diameters, (legs,), [m]; of a double riser the sum, so that the surface is that of both tubes."""
        return np.array([sum(size.outside_diameter_m for size in sizes) for sizes in self.sizes])

    @property
    def roughness_m(self) -> FloatArray:
        """Roughnesses, (legs,), [m]."""
        return np.array([catalogue.roughness_m for catalogue in self.catalogues])

    @property
    def mass_kg_m(self) -> FloatArray:
        """Masses of the bare tubes, (legs,), [kg/m]."""
        return np.array([sum(size.mass_kg_m for size in sizes) for sizes in self.sizes])


def line_tubes(line: Line) -> LineTubes | None:
    """Return the tube of each leg of a line, or None where a leg has no size and the line no default one."""
    catalogues: list[TubeCatalogue] = []
    found: list[tuple[TubeSize, ...]] = []
    for geometry in line_geometry(line).legs:
        leg = geometry.leg
        catalogue = tube_catalogue(leg.tube if leg.tube is not None else line.tube)
        if leg.double_riser is not None:
            found.append((catalogue.find(leg.double_riser.small), catalogue.find(leg.double_riser.large)))
        else:
            size = leg.size if leg.size is not None else line.default_size
            if size is None:
                return None
            found.append((catalogue.find(size),))
        catalogues.append(catalogue)
    return LineTubes(tuple(catalogues), tuple(found))


def line_twins(line: Line, practice: PracticeSet, method: LossMethod) -> Twins | None:
    """Return a line's double risers with the bends of each tube, None where it has none."""
    legs = line_geometry(line).legs
    places = [index for index, geometry in enumerate(legs) if geometry.leg.double_riser is not None]
    if not places:
        return None
    exponent = _bore_exponent(method)
    small, large = Losses.none(len(places), exponent), Losses.none(len(places), exponent)
    tubes, seals, roughness = [], [], []
    for index, place in enumerate(places):
        leg = legs[place].leg
        riser = leg.double_riser
        if riser is None:
            raise ValueError("not a double riser")
        catalogue = tube_catalogue(leg.tube if leg.tube is not None else line.tube)
        tubes.append((catalogue.find(riser.small).inside_diameter_m, catalogue.find(riser.large).inside_diameter_m))
        seals.append(riser.seal_m)
        roughness.append(catalogue.roughness_m)
        for losses, own, role in ((small, riser.small_parts, "small"), (large, riser.large_parts, "large")):
            bends = double_riser_bends("small" if role == "small" else "large")
            if own is not None:
                bends = tuple((part.kind, part.count) for part in own)
            for kind, count in bends:
                for _ in range(count):
                    _add_fitting(losses, index, kind, practice, method)
    bores = np.array(tubes)
    return Twins(
        leg=np.array(places, dtype=np.intp),
        length_m=np.array([legs[place].length_m for place in places]),
        small_bore=bores[:, 0],
        large_bore=bores[:, 1],
        small_roughness=np.array(roughness),
        large_roughness=np.array(roughness),
        small=small,
        large=large,
        seal_m=np.array(seals),
    )


def pair_losses(count: int, practice: PracticeSet, method: LossMethod) -> tuple[Losses, Losses]:
    """Return the default bends of the small and of the large tube, once for each of so many double risers."""
    exponent = _bore_exponent(method)
    small, large = Losses.none(1, exponent), Losses.none(1, exponent)
    for losses, bends in ((small, double_riser_bends("small")), (large, double_riser_bends("large"))):
        for kind, number in bends:
            for _ in range(number):
                _add_fitting(losses, 0, kind, practice, method)
    return small.repeated(count), large.repeated(count)


def tee_losses(tees: Sequence[Tee], method: LossMethod) -> TeeLosses | None:
    """Return the losses of the tees along a path, None where there are none."""
    if not tees:
        return None
    losses = Losses.none(len(tees), _bore_exponent(method))
    for index, tee in enumerate(tees):
        _add_row(losses, index, "tee_run" if tee.straight else "tee_branch", 1.0, method)
    owner = np.array([tee.owner for tee in tees], dtype=np.intp)
    return TeeLosses(owner, np.array([tee.common for tee in tees], dtype=np.intp), losses)


def _bore_exponent(method: LossMethod) -> float:
    return 0.3 if method is LossMethod.THREE_K else 1.0


def line_run(line: Line, practice: PracticeSet, design_flow_kg_s: FloatArray | float, method: LossMethod) -> Run:
    """Return an unbranched line's legs with their losses.

    Parameters
    ----------
    line : Line
        A sound, unbranched line.
    practice : PracticeSet
        Gives the drop of the parts that go by a practice rule, and the rise of a loop.
    design_flow_kg_s : ndarray, shape (legs,), or float
        The greatest flow of each leg; a default loss that is stated as a drop holds at this flow, [kg/s].
    method : LossMethod
        Correlation for the fittings.

    Returns
    -------
    Run
        Arrays over the legs in the order of flow.
    """
    geometry = line_geometry(line)
    legs = len(geometry.legs)
    exponent = _bore_exponent(method)
    fittings, parts = Losses.none(legs, exponent), Losses.none(legs, exponent)
    _add_fittings(line, geometry, practice, method, fittings)
    design = np.broadcast_to(design_flow_kg_s, (legs,))
    for index, leg in enumerate(geometry.legs):
        for part in leg.leg.parts:
            _add_part(parts, index, part, practice, float(design[index]), method)
    return Run(
        length_m=np.array([leg.length_m for leg in geometry.legs]),
        rise_m=np.array([leg.rise_m for leg in geometry.legs]),
        fittings=fittings,
        parts=parts,
        twins=line_twins(line, practice, method),
    )


def _add_fittings(
    line: Line, geometry: LineGeometry, practice: PracticeSet, method: LossMethod, losses: Losses
) -> None:
    """Add what stands at the start of each leg: the stated fitting, else the bend that the route makes there."""
    stated = {fitting.node: fitting.kind for fitting in line.fittings}
    sources = set(geometry.sources)
    for index, (leg, turn) in enumerate(zip(geometry.legs, geometry.turns_deg, strict=True)):
        kind = stated.get(leg.leg.start)
        if leg.leg.double_riser is not None:
            continue  # its tubes have bends of their own
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
