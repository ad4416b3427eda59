"""Air pressure against the standard atmosphere's table."""

from __future__ import annotations

import pytest

from linesizer.units import atmospheric_pressure_Pa


@pytest.mark.parametrize(
    ("altitude_m", "pressure_Pa"),
    # ISO 2533:1975, table by geopotential altitude (from memory), to its printed digits.
    [(0.0, 101325.0), (500.0, 95460.8), (1000.0, 89874.6), (2000.0, 79495.2), (3000.0, 70108.5), (5000.0, 54019.9)],
)
def test_standard_atmosphere(altitude_m: float, pressure_Pa: float) -> None:
    assert atmospheric_pressure_Pa(altitude_m) == pytest.approx(pressure_Pa, abs=0.06)
