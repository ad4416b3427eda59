"""Part kinds: every one has a loss, says where it comes from, and refers to things that exist."""

from __future__ import annotations

import pytest

from linesizer.catalog.fittings import loss_coefficients
from linesizer.catalog.parts import LossForm, part_kind, part_kinds
from linesizer.catalog.practice import practice_set
from linesizer.domain.route import Service
from linesizer.errors import UserError

# The parts that a person can drop onto a leg, in the words of the window's design.
ON_THE_SHEET = {
    "stop_valve",
    "ball_valve",
    "globe_valve",
    "angle_valve",
    "service_valve",
    "check_valve",
    "solenoid_valve",
    "filter_drier",
    "strainer",
    "sight_glass",
    "muffler",
    "oil_separator",
    "reducer",
    "flexible_connector",
    "regulator",
    "relief_valve",
    "expansion_valve",
}
# Symbols that the drawing conventions describe (after EN 1861 and ISO 14617).
SYMBOLS = ON_THE_SHEET - {"globe_valve", "angle_valve", "service_valve", "strainer"} | {
    "globe_valve",
    "access_valve",
    "sleeve",
}


def test_all_parts_of_the_sheet_are_there() -> None:
    assert set(part_kinds()) >= ON_THE_SHEET


@pytest.mark.parametrize("kind", part_kinds())
def test_every_part_has_a_usable_loss_and_a_source(kind: str) -> None:
    part = part_kind(kind)
    assert part.label
    assert part.source
    assert part.symbol in SYMBOLS
    assert part.services
    assert part.status in {"sourced", "assumed"}
    loss = part.loss
    given = [name for name in ("value", "row", "rule") if getattr(loss, name) is not None]
    match loss.form:
        case LossForm.NONE:
            assert given == []
        case LossForm.ROW:
            assert given == ["row"]
            assert loss_coefficients(loss.row or "").ki > 0
        case LossForm.RULE:
            assert given == ["rule"]
            assert practice_set("general").value(loss.rule or "") > 0
        case LossForm.K | LossForm.DROP:
            assert given == ["value"]
            assert (loss.value or 0.0) > 0


@pytest.mark.parametrize("kind", part_kinds())
def test_a_figure_that_nobody_publishes_is_called_assumed(kind: str) -> None:
    part = part_kind(kind)
    if part.loss.form in {LossForm.K, LossForm.DROP, LossForm.RULE}:
        assert part.assumed
    if not part.assumed:
        assert part.loss.form in {LossForm.NONE, LossForm.ROW}


def test_what_shuts_and_what_relieves() -> None:
    closing = {kind for kind in part_kinds() if part_kind(kind).can_close}
    assert closing == {
        "stop_valve",
        "ball_valve",
        "globe_valve",
        "angle_valve",
        "service_valve",
        "check_valve",
        "solenoid_valve",
        "regulator",
        "expansion_valve",
    }
    assert {kind for kind in part_kinds() if part_kind(kind).fast_closing} == {"solenoid_valve"}
    assert {kind for kind in part_kinds() if part_kind(kind).one_way} == {"check_valve"}
    assert {kind for kind in part_kinds() if part_kind(kind).relieves} == {"relief_valve"}
    assert part_kind("regulator").controlled_side == "inlet"


def test_services_are_the_trades() -> None:
    assert part_kind("filter_drier").services == (Service.LIQUID,)
    assert part_kind("muffler").services == (Service.DISCHARGE,)


def test_an_unknown_part_names_the_near_ones() -> None:
    with pytest.raises(UserError) as caught:
        part_kind("filter_dryer")
    assert caught.value.code == "PART-01"
    assert "filter_drier" in caught.value.remedy
    assert "muffler" not in caught.value.remedy
