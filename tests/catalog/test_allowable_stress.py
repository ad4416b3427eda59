"""Allowable stress against the Copper Tube Handbook's table."""

from __future__ import annotations

import numpy as np
import pytest

from linesizer.catalog.allowable_stress import allowable_stress_Pa, stress_table
from linesizer.catalog.tubes import Temper
from linesizer.errors import UserError

PSI = 6894.757  # rounded here on purpose: independent of the program's own factor


@pytest.mark.parametrize(
    ("temper", "temperature_F", "stress_psi"),
    [
        # Copper Development Association, Copper Tube Handbook, allowable stress (read).
        (Temper.ANNEALED, 100, 6000),
        (Temper.ANNEALED, 150, 5100),
        (Temper.ANNEALED, 200, 4900),
        (Temper.ANNEALED, 400, 3000),
        (Temper.DRAWN, 250, 10300),
        (Temper.DRAWN, 350, 9700),
        # A 3.5th of 60,000 psi, ASTM A53 B and A106 B, ASME B31.5 (from memory), rounded down to the printed 100 psi.
        (Temper.SEAMLESS, 100, 17100),
        (Temper.SEAMLESS, 300, 17100),
    ],
)
def test_columns_come_back(temper: Temper, temperature_F: float, stress_psi: float) -> None:
    stress = float(allowable_stress_Pa(temper, (temperature_F - 32) / 1.8))
    assert stress / PSI == pytest.approx(stress_psi, rel=1e-6)


def test_between_columns_it_is_linear_and_below_the_first_it_stays() -> None:
    stress = allowable_stress_Pa(Temper.ANNEALED, [-40.0, 20.0, (125 - 32) / 1.8, (375 - 32) / 1.8])
    np.testing.assert_allclose(stress / PSI, [6000, 6000, 5550, 3500], rtol=1e-6)


def test_it_keeps_the_shape() -> None:
    assert allowable_stress_Pa(Temper.DRAWN, np.full((2, 3), 80.0)).shape == (2, 3)


@pytest.mark.parametrize("temper", Temper)
def test_never_rises_with_temperature(temper: Temper) -> None:
    stress = allowable_stress_Pa(temper, np.linspace(-50.0, stress_table(temper).highest_C, 400))
    assert np.all(np.diff(stress) <= 0.0)


@pytest.mark.parametrize("temperature_C", [204.5, 1e6, float("inf"), float("nan")])
def test_beyond_the_last_column_there_is_no_value(temperature_C: float) -> None:
    with pytest.raises(UserError, match=r"known up to 204\.4 C") as caught:
        allowable_stress_Pa(Temper.ANNEALED, [60.0, temperature_C])
    assert caught.value.code == "TUBE-03"


@pytest.mark.parametrize("temper", Temper)
def test_every_table_has_a_source(temper: Temper) -> None:
    table = stress_table(temper)
    assert table.source
    assert table.status in {"read", "from memory"}
