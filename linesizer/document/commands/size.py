"""What legs are built from: sizes, tube, double risers, insulation and the rest of a leg's row."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log

from linesizer.catalog.tubes import tube_catalogue
from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.objects import circuit_of, leg_of, legs_of, line_of, with_leg, with_line
from linesizer.domain.geometry import line_geometry
from linesizer.domain.job import Job
from linesizer.domain.route import DoubleRiser, Leg, Line
from linesizer.errors import UserError

RISER_STEEPER_THAN = 1.0
"""Rise over run above which a leg is a riser: it climbs more than it runs."""


@dataclass(frozen=True, slots=True)
class SetLegSize:
    """Build legs in one size, which a double riser gives way to; None leaves it to the line or to the sizing."""

    circuit: str
    line: str
    legs: tuple[str, ...]
    size: str | None

    @property
    def label(self) -> str:
        """The act in words."""
        which = self.legs[0] if len(self.legs) == 1 else f"{len(self.legs)} legs of {self.line}"
        return _size_label(which, self.size)

    def apply(self, job: Job) -> Job:
        """Return the job with the size set."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        return with_line(job, circuit, line, _sized(line, legs_of(line, self.legs), self.size))


@dataclass(frozen=True, slots=True)
class SetRiserSize:
    """Build all risers of a line in one size; a riser climbs in the direction of flow, more than it runs."""

    circuit: str
    line: str
    size: str | None

    @property
    def label(self) -> str:
        """The act in words."""
        return _size_label(f"all risers of {self.line}", self.size)

    def apply(self, job: Job) -> Job:
        """Return the job with the size set; SIZE-01 where the line has no riser."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        names = risers(line)
        if not names:
            raise UserError(
                "SIZE-01",
                what=f"Cannot {self.label}.",
                why=f'No leg of line "{line.id}" climbs more than it runs.',
                remedy="Set the size of the line or of single legs.",
            )
        return with_line(job, circuit, line, _sized(line, names, self.size))


@dataclass(frozen=True, slots=True)
class SetLineSize:
    """Build the whole line in one size: it becomes the default, and sizes of single legs give way to it.

    Double risers stay, being more than a size; so do legs of a tube of their own, in whose catalogue the size may mean
    nothing.
    """

    circuit: str
    line: str
    size: str | None

    @property
    def label(self) -> str:
        """The act in words."""
        return _size_label(self.line, self.size)

    def apply(self, job: Job) -> Job:
        """Return the job with the size set."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        names = frozenset(leg.id for leg in line.legs if leg.double_riser is None and leg.tube in (None, line.tube))
        new = replace(_sized(line, names, None), default_size=self.size)
        if new == line:
            return job
        return with_line(job, circuit, line, new)


@dataclass(frozen=True, slots=True)
class SetDoubleRiser:
    """Build a leg as a double riser, or, with None, in one tube of the line's default size again."""

    circuit: str
    line: str
    leg: str
    riser: DoubleRiser | None

    @property
    def label(self) -> str:
        """The act in words."""
        if self.riser is None:
            return f"make {self.leg} a single riser"
        return f"make {self.leg} a double riser of {self.riser.small} and {self.riser.large}"

    def apply(self, job: Job) -> Job:
        """Return the job with the double riser."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        leg = leg_of(line, self.leg)
        if leg.double_riser == self.riser:
            return job
        return with_line(job, circuit, line, with_leg(line, leg, replace(leg, double_riser=self.riser, size=None)))


@dataclass(frozen=True, slots=True)
class SetLegBuilds:
    """Build legs of a line each from a size or a double riser of its own, in one step."""

    circuit: str
    line: str
    builds: tuple[tuple[str, str | DoubleRiser], ...]

    @property
    def label(self) -> str:
        """The act in words."""
        which = self.builds[0][0] if len(self.builds) == 1 else f"{len(self.builds)} legs"
        return f"size {which} of {self.line}"

    def apply(self, job: Job) -> Job:
        """Return the job with the legs built so."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        legs_of(line, tuple(name for name, _ in self.builds))
        by_leg = dict(self.builds)
        legs = tuple(_built(leg, by_leg[leg.id]) if leg.id in by_leg else leg for leg in line.legs)
        return job if legs == line.legs else with_line(job, circuit, line, replace(line, legs=legs))


@dataclass(frozen=True, slots=True)
class UseProposedSizes:
    """Build a line from the sizes that the program proposes for its legs.

    Where they are one size for the whole line, it becomes the line's own, so that legs drawn later take it too.
    """

    circuit: str
    line: str
    builds: tuple[tuple[str, str | DoubleRiser], ...]

    @property
    def label(self) -> str:
        """The act in words."""
        return f"use the sizes proposed for {self.line}"

    def apply(self, job: Job) -> Job:
        """Return the job with the line built so."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        sizes = {build for _, build in self.builds}
        one = next(iter(sizes)) if len(sizes) == 1 else None
        whole = {name for name, _ in self.builds} == {leg.id for leg in line.legs if leg.tube in (None, line.tube)}
        if isinstance(one, str) and whole and len(self.builds) == len(line.legs):
            legs = tuple(_built(leg, None) for leg in line.legs)
            new = replace(line, default_size=one, legs=legs)
            return job if new == line else with_line(job, circuit, line, new)
        return SetLegBuilds(self.circuit, self.line, self.builds).apply(job)


@dataclass(frozen=True, slots=True)
class SetLegFields:
    """Change what a leg's row says: place, insulation, joint, fall, tube.

    With another ``tube`` a size that its catalogue does not have becomes the one with the nearest bore.
    """

    circuit: str
    line: str
    legs: tuple[str, ...]
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        which = self.legs[0] if len(self.legs) == 1 else f"{len(self.legs)} legs of {self.line}"
        return changed_fields_label(self.changes, which)

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        names = legs_of(line, self.legs)
        allowed = ("place", "insulation_m", "insulation_W_mK", "joint", "fall", "tube")
        legs = tuple(_refilled(line, leg, self.changes, allowed) if leg.id in names else leg for leg in line.legs)
        if all(new is old for new, old in zip(legs, line.legs, strict=True)):
            return job
        return with_line(job, circuit, line, replace(line, legs=legs))


@dataclass(frozen=True, slots=True)
class SetLineTube:
    """Build a line from another tube; sizes that its catalogue does not have become those with the nearest bore."""

    circuit: str
    line: str
    tube: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"build {self.line} from {self.tube}"

    def apply(self, job: Job) -> Job:
        """Return the job with the tube set; TUBE-01 where there is none of that name."""
        circuit = circuit_of(job, self.circuit)
        line = line_of(circuit, self.line)
        if line.tube == self.tube:
            return job
        default = None if line.default_size is None else nearest_size(self.tube, line.tube, line.default_size)
        legs = []
        for leg in line.legs:
            if leg.tube is None:
                legs.append(_retubed(leg, line.tube, self.tube))
            elif (
                leg.size is None and leg.double_riser is None and line.default_size is not None and default is not None
            ):
                # Its size was the line's, in its own tube; it keeps what it was built from.
                own = line.default_size if default != line.default_size else None
                legs.append(replace(leg, size=own))
            else:
                legs.append(leg)
        new = replace(line, tube=self.tube, default_size=default, legs=tuple(legs))
        return with_line(job, circuit, line, new)


def risers(line: Line) -> frozenset[str]:
    """Return the legs of a line that climb in the direction of flow, more than they run."""
    return frozenset(leg.leg.id for leg in line_geometry(line).legs if leg.slope > RISER_STEEPER_THAN)


def nearest_size(tube: str, from_tube: str, size: str) -> str:
    """Return a size in another catalogue: the same word where it has it, else the nearest bore, by ratio."""
    catalogue = tube_catalogue(tube)
    if size in catalogue:
        return size
    bore_m = tube_catalogue(from_tube).find(size).inside_diameter_m
    return min(catalogue.sizes, key=lambda row: abs(log(row.inside_diameter_m / bore_m))).size


def _size_label(what: str, size: str | None) -> str:
    return f"leave the size of {what} open" if size is None else f"set size of {what} to {size}"


def _sized(line: Line, names: frozenset[str], size: str | None) -> Line:
    if all(leg.id not in names or (leg.size == size and leg.double_riser is None) for leg in line.legs):
        return line
    legs = tuple(replace(leg, size=size, double_riser=None) if leg.id in names else leg for leg in line.legs)
    return replace(line, legs=legs)


def _built(leg: Leg, build: str | DoubleRiser | None) -> Leg:
    if isinstance(build, DoubleRiser):
        return replace(leg, size=None, double_riser=build)
    return replace(leg, size=build, double_riser=None)


def _refilled(line: Line, leg: Leg, changes: Changes, allowed: tuple[str, ...]) -> Leg:
    new = changed(leg, changes, allowed)
    before, after = leg.tube or line.tube, new.tube or line.tube
    if after == before:
        return new
    new = _retubed(new, before, after)
    if new.size is None and new.double_riser is None and line.default_size is not None:
        default_here = nearest_size(after, before, line.default_size)
        if default_here != line.default_size:
            return replace(new, size=default_here)
    return new


def _retubed(leg: Leg, before: str, after: str) -> Leg:
    size = None if leg.size is None else nearest_size(after, before, leg.size)
    riser = leg.double_riser
    if riser is not None:
        small, large = nearest_size(after, before, riser.small), nearest_size(after, before, riser.large)
        riser = replace(riser, small=small, large=large)
    return leg if size == leg.size and riser == leg.double_riser else replace(leg, size=size, double_riser=riser)
