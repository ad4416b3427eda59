"""Loss coefficients against the fluids library."""

from __future__ import annotations

import numpy as np
import pytest
from fluids.fittings import Darby3K, Hooper2K, contraction_conical, diffuser_sharp

from linesizer.catalog.fittings import LossMethod, loss_coefficients, loss_rows
from linesizer.solver.fitting_loss import angle_weights, contraction, expansion, three_k, two_k
from linesizer.units import METRES_PER_INCH

BORES_IN = (0.43, 0.785, 2.0, 5.0)
REYNOLDS = (3e3, 5e4, 2e6)


@pytest.mark.parametrize("row", loss_rows())
def test_three_k_and_two_k_are_those_of_fluids(row: str) -> None:
    darby, hooper = (loss_coefficients(row, method) for method in (LossMethod.THREE_K, LossMethod.TWO_K))
    for bore in BORES_IN:
        for reynolds in REYNOLDS:
            ours = three_k(reynolds, bore * METRES_PER_INCH, darby.k1, darby.ki, darby.kd)
            assert ours == pytest.approx(Darby3K(bore, reynolds, darby.published_row), rel=1e-12)
            ours = two_k(reynolds, bore * METRES_PER_INCH, hooper.k1, hooper.ki)
            assert ours == pytest.approx(Hooper2K(bore, reynolds, hooper.published_row), rel=1e-12)


@pytest.mark.parametrize(("small", "large"), [(0.02, 0.0201), (0.02, 0.03), (0.01, 0.1)])
def test_changes_of_size_are_those_of_fluids(small: float, large: float) -> None:
    """Both on the velocity head in the smaller bore; Crane's cone opened to 180 degrees is the sudden contraction."""
    assert expansion(small, large) == pytest.approx(diffuser_sharp(small, large), rel=1e-12)
    sudden = contraction_conical(large, small, angle=180.0, method="Crane")
    assert contraction(small, large) == pytest.approx(sudden, rel=1e-12)


def test_no_change_of_size_has_no_loss() -> None:
    assert expansion(0.02, 0.02) == 0.0
    assert contraction(0.02, 0.02) == 0.0


def test_bends_of_any_angle() -> None:
    assert angle_weights(0.0) == (0.0, 0.0)
    assert angle_weights(45.0) == (1.0, 0.0)
    assert angle_weights(90.0) == (0.0, 1.0)
    assert angle_weights(22.5) == (0.5, 0.0)
    assert angle_weights(67.5) == (0.5, 0.5)
    assert angle_weights(180.0) == (0.0, 2.0)
    # Without a step anywhere, in a bend whose 90 degree loss is twice its 45 degree one.
    losses = [np.dot(angle_weights(angle), (1.0, 2.0)) for angle in np.linspace(0.0, 180.0, 721)]
    np.testing.assert_allclose(np.diff(losses), losses[1], rtol=1e-9)
