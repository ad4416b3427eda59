"""What a command leaves behind, and whether it was polite."""

import os
from dataclasses import dataclass
from pathlib import Path

SAMPLE = Path(__file__).parent.parent.parent / "samples" / "condenser-above.json"


@dataclass(frozen=True)
class Done:
    """What a command left behind."""

    code: int
    out: str
    err: str


def well_mannered(done: Done) -> str:
    """See one error, exit code 2 and nothing on standard output; return the error."""
    assert done.code == 2, done.err
    assert done.out == ""
    assert "Traceback" not in done.err
    assert done.err.count("linesizer: ") == 1, done.err
    return done.err


def buffered() -> dict[str, str]:
    """The environment of a person whose output waits in a buffer, as it does unless one says otherwise."""
    return {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
