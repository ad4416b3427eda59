"""Finding the value that a line has, so that a limit can be put at, just above and just below it."""

from __future__ import annotations

from typing import Any

from linesizer.domain.finding import Finding
from linesizer.domain.result import CircuitResult, LineResult
from linesizer.domain.route import Line
from linesizer.evaluate import solve
from tests.solver.routes import job


def circuit(*lines: Line, **changes: Any) -> CircuitResult:
    return solve(job(*lines, **changes)).circuits[0]


def coded(found: CircuitResult, code: str) -> list[Finding]:
    return [finding for finding in found.findings if finding.code == code]


def only(found: CircuitResult, code: str) -> Finding:
    (finding,) = coded(found, code)
    return finding


def codes(*lines: Line, **changes: Any) -> set[str]:
    return {finding.code for finding in circuit(*lines, **changes).findings}


def line(found: CircuitResult, index: int = 0) -> LineResult:
    return found.lines[index]


def assert_words_are_whole(finding: Finding) -> None:
    """Nothing left to fill in, nothing unknown, one sentence at least, units of the system asked for."""
    for system in ("si", "ip"):
        message = finding.message(system)
        assert message.endswith(".")
        assert not set("{}") & set(message)
        assert "nan" not in message
        assert "None" not in message
        assert "–" not in message
    assert finding.title
    assert finding.source
    assert finding.rule
