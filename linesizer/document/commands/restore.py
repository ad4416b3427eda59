"""Put a whole job in the place of another: work recovered after a crash."""

from __future__ import annotations

from dataclasses import dataclass

from linesizer.domain.job import Job


@dataclass(frozen=True, slots=True)
class RestoreJob:
    """Take up recovered work where a crash cut it off."""

    job: Job

    @property
    def label(self) -> str:
        """The act in words."""
        return "recover lost work"

    def apply(self, job: Job) -> Job:
        """Return the recovered job."""
        return job if self.job == job else self.job
