"""The job as a whole: title block, site and rooms, the practice that judges it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from linesizer.document.fields import Changes, changed, changed_fields_label
from linesizer.document.ids import plain_id, spoken_of
from linesizer.document.objects import exchanged, room_of, without
from linesizer.domain.extra import Json
from linesizer.domain.job import Job, JobInfo, Room
from linesizer.errors import UserError
from linesizer.storage.places import listing


@dataclass(frozen=True, slots=True)
class SetJobInfo:
    """Change what the title block says."""

    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, "the title block")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        info = changed(job.info, self.changes, frozenset(JobInfo.__dataclass_fields__) - {"extra"})
        return job if info is job.info else replace(job, info=info)


@dataclass(frozen=True, slots=True)
class SetSite:
    """Change altitude, ambients or the price of electricity."""

    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, "the site")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        allowed = ("altitude_m", "summer_ambient_C", "winter_ambient_C", "indoor_ambient_C", "electricity_price_kWh")
        site = changed(job.site, self.changes, allowed)
        return job if site is job.site else replace(job, site=site)


@dataclass(frozen=True, slots=True)
class AddRoom:
    """Add a room behind the others; an id in use, or none, gives way to a free one."""

    new: Room

    @property
    def label(self) -> str:
        """The act in words."""
        return f"add room {self.new.name or self.new.id}".rstrip()

    def apply(self, job: Job) -> Job:
        """Return the job with the room."""
        # "indoor" and "outdoor" are places of their own.
        taken = ("indoor", "outdoor", *(room.id for room in job.site.rooms), *spoken_of(job))
        room = replace(self.new, id=plain_id(taken, self.new.id or "room"))
        return replace(job, site=replace(job.site, rooms=(*job.site.rooms, room)))


@dataclass(frozen=True, slots=True)
class SetRoomFields:
    """Change a room's name, volume, ambient, or whether people are in it."""

    room: str
    changes: Changes

    @property
    def label(self) -> str:
        """The act in words."""
        return changed_fields_label(self.changes, f"room {self.room}")

    def apply(self, job: Job) -> Job:
        """Return the job with the values changed."""
        old = room_of(job, self.room)
        new = changed(old, self.changes, ("name", "volume_m3", "ambient_C", "occupied"))
        if new is old:
            return job
        return replace(job, site=replace(job.site, rooms=exchanged(job.site.rooms, old, new)))


@dataclass(frozen=True, slots=True)
class DeleteRoom:
    """Take a room away in which nothing stands and through which nothing runs."""

    room: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"delete room {self.room}"

    def apply(self, job: Job) -> Job:
        """Return the job without the room; ROOM-01 where it is in use."""
        old = room_of(job, self.room)
        users = [item.name or item.id for circuit in job.circuits for item in circuit.equipment if item.place == old.id]
        users += [
            leg.id for circuit in job.circuits for line in circuit.lines for leg in line.legs if leg.place == old.id
        ]
        if users:
            raise UserError(
                "ROOM-01",
                what=f"Cannot {self.label}.",
                why=f"In it are {listing(tuple(users))}; without their room the air around them would be unknown.",
                remedy="Give them another place first.",
            )
        return replace(job, site=replace(job.site, rooms=without(job.site.rooms, old)))


@dataclass(frozen=True, slots=True)
class SetPracticeSet:
    """Judge the job by another practice set."""

    name: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"judge by the practice set {self.name}"

    def apply(self, job: Job) -> Job:
        """Return the job with the practice set."""
        practice = changed(job.practice, (("set", self.name),))
        return job if practice is job.practice else replace(job, practice=practice)


@dataclass(frozen=True, slots=True)
class SetPracticeOverride:
    """Put the job's own value in the place of a rule's."""

    rule: str
    value: Json

    @property
    def label(self) -> str:
        """The act in words."""
        return f"set the job's own {self.rule}"

    def apply(self, job: Job) -> Job:
        """Return the job with the rule's own value."""
        own = dict(job.practice.overrides)
        if self.rule in own and own[self.rule] == self.value and type(own[self.rule]) is type(self.value):
            return job
        own[self.rule] = self.value
        return replace(job, practice=replace(job.practice, overrides=tuple(own.items())))


@dataclass(frozen=True, slots=True)
class ClearPracticeOverride:
    """Leave a rule to the practice set again."""

    rule: str

    @property
    def label(self) -> str:
        """The act in words."""
        return f"leave {self.rule} to the practice set"

    def apply(self, job: Job) -> Job:
        """Return the job without its own value; the same job where it has none."""
        own = dict(job.practice.overrides)
        if own.pop(self.rule, None) is None:
            return job
        return replace(job, practice=replace(job.practice, overrides=tuple(own.items())))
