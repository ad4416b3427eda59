from __future__ import annotations

import pytest

from linesizer.errors import UserError
from linesizer.properties import library
from linesizer.properties.summary import describe, describe_all


def test_every_refrigerant_is_described() -> None:
    described = describe_all()
    assert tuple(summary.name for summary in described) == library.names()
    for summary in described:
        assert summary.viscosity_method.liquid
        assert 0.0 < summary.viscosity_uncertainty.vapour <= 0.1


def test_glide() -> None:
    """R407C glides some 5 K near 40 C (its two-phase chart is known for it); pure fluids and azeotropes do not."""
    assert describe("R407C").glide_K == pytest.approx(5.0, abs=0.5)
    assert describe("R134a").glide_K == pytest.approx(0.0, abs=1e-3)
    assert describe("R410A").glide_K == pytest.approx(0.1, abs=0.05)
    assert describe("R744").glide_K is None
    assert describe("R744").dew_pressure_Pa is None


def test_composition_in_words() -> None:
    assert describe("R410A").composition == "R32 50 %, R125 50 %"
    assert describe("R454B").composition == "R32 68.9 %, R1234yf 31.1 %"
    assert describe("R32").composition == ""


def test_unknown() -> None:
    with pytest.raises(UserError):
        describe("R11b")
