"""Surge before a valve that shuts at once.

Joukowsky's equation, dp = rho a v, the full rise only where the valve shuts within 2 L / a ("Ueber den hydraulischen
Stoss in Wasserleitungsroehren", 1898; textbook form, from memory).

Water at 20 C: 998.2 kg/m3 and 1482 m/s (textbook values, from memory).  Stopped from 1 m/s it rises by 998.2 x 1482 =
14.79 bar; 100 m of pipe send the wave back in 200 / 1482 = 0.135 s.
R134a at 42 C and 11.6 bar (CoolProp): 1139.0 kg/m3, 428.3 m/s; from 1.5 m/s 1139.0 x 428.3 x 1.5 = 7.32 bar.
"""

from __future__ import annotations

import CoolProp
import pytest
from CoolProp import AbstractState

from linesizer.solver.surge import return_time, surge_pressure


def test_water() -> None:
    assert float(surge_pressure(998.2, 1482.0, 1.0)) == pytest.approx(14.79e5, rel=5e-4)
    assert float(return_time(100.0, 1482.0)) == pytest.approx(0.135, abs=5e-4)


def test_liquid_refrigerant() -> None:
    state = AbstractState("HEOS", "R134a")
    state.update(CoolProp.PT_INPUTS, 1.16e6, 315.15)
    assert state.rhomass() == pytest.approx(1139.0, abs=0.1)
    rise = float(surge_pressure(state.rhomass(), state.speed_sound(), 1.5))
    assert rise == pytest.approx(state.rhomass() * state.speed_sound() * 1.5, rel=1e-12)
    assert rise == pytest.approx(7.32e5, rel=1e-3)
