"""What the rules say of a job, and a look at their words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from linesizer.domain.finding import Finding
from linesizer.domain.job import Job, Site
from linesizer.domain.route import Line, LineEnd
from linesizer.evaluate import solve
from tests.solver import routes

TOO_MUCH = routes.condition(capacity_W=1e9)
"""A load that no size of tube passes: its lines have no figures."""


def job(*lines: Line, site: Site | None = None, **changes: Any) -> Job:
    """Return a job as ``tests.solver.routes`` makes it, at a site of one's own."""
    made = routes.job(*lines, **changes)
    return made if site is None else replace(made, site=site)


def tied(line: Line, **ends: str) -> Line:
    """Return a line with its ends tied: ``n0="cond:outlet"``."""
    stated = [(node, *text.partition(":")[::2]) for node, text in ends.items()]
    return replace(line, ends=tuple(LineEnd(node, equipment, port or None) for node, equipment, port in stated))


def findings(job: Job, *codes: str) -> tuple[Finding, ...]:
    """Return the findings with these codes, having read each one's sentence in both systems of units."""
    found = tuple(finding for finding in solve(job).findings if finding.code in codes)
    for finding in found:
        for system in ("si", "ip"):
            message = finding.message(system)
            assert "{" not in message
            assert "nan" not in message
            assert "–" not in message, "a figure is missing"
            assert message.endswith(".")
        assert finding.title
        assert finding.rule
        assert finding.source
        for number in (finding.value, finding.limit):
            assert number is None or number == number
    return found


def messages(finding: Finding) -> tuple[str, str]:
    """Return a finding's sentences in SI and in inch-pound units."""
    return finding.message("si"), finding.message("ip")
