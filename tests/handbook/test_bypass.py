"""Hot-gas bypass at three fractions, by hand.

The balance of the evaporator with the fraction b of the compressor's flow returned hot: m = Q / [(h2 - h3) -
(h2 - h1) / (1 - b)], m_compressor = m / (1 - b) (derived: m (h1 - h3) = Q + b m_compressor (h2 - h1)).  Enthalpies of
R134a from CoolProp at -5 / 45 C, 8 K of superheat, 6 K of subcooling, isentropic efficiency 0.68 [kJ/kg]:
h1 = 402.63, h2s = 436.59 -> h2 = 402.63 + 33.96 / 0.68 = 452.57, h3 = 254.89.

    b = 0     60 / (402.63 - 254.89) = 60 / 147.74 = 0.4061 kg/s, compressor the same
    b = 0.2   197.68 - 49.94 / 0.8 = 135.26: 0.4436 kg/s, compressor 0.5545
    b = 0.5   197.68 - 49.94 / 0.5 = 97.80: 0.6135 kg/s, compressor 1.2270
"""

from __future__ import annotations

import pytest

from linesizer.evaluate import solve
from tests.solver.routes import condition, job

H1, H2, H3 = 402.63e3, 452.57e3, 254.89e3
# The figures above have four digits.
WITHIN = 2e-4


@pytest.mark.parametrize(
    ("bypass", "line", "compressor"), [(0.0, 0.4061, 0.4061), (0.2, 0.4436, 0.5545), (0.5, 0.6135, 1.2270)]
)
def test_flows_and_the_balance_of_energy(bypass: float, line: float, compressor: float) -> None:
    found = solve(job(conditions=[condition(bypass=bypass)])).circuits[0].conditions
    assert found.mass_flow_kg_s[0] == pytest.approx(line, rel=WITHIN)
    assert found.compressor_flow_kg_s[0] == pytest.approx(compressor, rel=WITHIN)
    assert found.discharge_J_kg[0] == pytest.approx(H2, abs=10.0)
    assert found.liquid_J_kg[0] == pytest.approx(H3, abs=10.0)
    # What the evaporator takes up, less what the hot gas brings, is the cooling.
    hot = float(found.compressor_flow_kg_s[0] * bypass)
    taken_W = float(found.mass_flow_kg_s[0]) * (H1 - float(found.liquid_J_kg[0]))
    assert taken_W - hot * (float(found.discharge_J_kg[0]) - H1) == pytest.approx(60e3, rel=WITHIN)
    # And all that goes in comes out at the condenser.
    assert 60e3 + found.compressor_W[0] == pytest.approx(found.heat_rejection_W[0], rel=1e-9)
    work_W = compressor * (H2 - H1)
    assert found.compressor_W[0] == pytest.approx(work_W, rel=5e-4)
    assert found.electric_W[0] == pytest.approx(work_W / 0.92, rel=5e-4)
