"""A finding's remedy, carried out as one step."""

from __future__ import annotations

from linesizer.document.remedies import remedy_command
from linesizer.domain.remedy import AskForSubcooling, UseSize
from tests.document.jobs import acted, circuit_in, leg_in


def test_a_size() -> None:
    after = acted(remedy_command("c1", UseSize("dis", ("d1", "d4"), "1-3/8")))
    assert [leg_in(after, name).size for name in ("d1", "d2", "d4")] == ["1-3/8", "1-5/8", "1-3/8"]


def test_more_subcooling() -> None:
    after = acted(remedy_command("c1", AskForSubcooling("low", 7.5)))
    assert [condition.subcooling_K for condition in circuit_in(after).conditions] == [5.0, 7.5]
