from __future__ import annotations

import pytest

from linesizer.errors import UserError
from linesizer.properties import library
from linesizer.properties.generator.verify import as_text, require_accurate, verify

NAMED_BY_THE_DESIGN = {
    "saturation pressure": 2e-6,
    "saturated vapour density": 1e-4,
    "saturated liquid density": 1e-4,
    "superheated density": 4e-6,
    "enthalpy": 2.0,
    "discharge temperature": 0.001,
}


@pytest.mark.parametrize("name", library.names())
def test_shipped_tables_keep_the_errors_that_the_design_names(name: str) -> None:
    verified = {quantity.quantity: quantity for quantity in verify(name, count=40, seed=11)}
    require_accurate(name, tuple(verified.values()))
    for quantity, limit in NAMED_BY_THE_DESIGN.items():
        assert verified[quantity].allowed == limit
        assert 0.0 < verified[quantity].worst <= limit
        assert verified[quantity].states >= 20
        assert verified[quantity].where


def test_the_same_seed_gives_the_same_figures() -> None:
    assert verify("R32", count=5, seed=3) == verify("R32", count=5, seed=3)
    assert verify("R32", count=5, seed=3) != verify("R32", count=5, seed=4)


def test_bridged_states_are_counted() -> None:
    verified = {quantity.quantity: quantity for quantity in verify("R407F", count=60)}
    assert 0 < verified["saturation pressure"].bridged < 60
    text = as_text("R407F", tuple(verified.values()))
    assert "of them bridged" in text
    assert "saturation pressure" in text
    assert len(text.splitlines()) == 1 + len(verified)


def test_unknown_name() -> None:
    with pytest.raises(UserError):
        verify("R9999")
