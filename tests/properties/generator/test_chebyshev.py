from __future__ import annotations

import numpy as np
import pytest
from numpy.polynomial import chebyshev as reference

from linesizer.properties.generator import chebyshev


def test_series_is_as_short_as_the_tolerance_allows() -> None:
    values = np.exp(chebyshev.nodes(30))
    fine, coarse = chebyshev.series(values, 1e-9), chebyshev.series(values, 1e-3)
    x = np.linspace(-1.0, 1.0, 200)
    assert np.abs(reference.chebval(x, fine) - np.exp(x)).max() < 1.1e-9
    assert 1e-5 < np.abs(reference.chebval(x, coarse) - np.exp(x)).max() < 1.1e-3
    assert len(coarse) < len(fine) < 30


def test_surface_meets_its_tolerance() -> None:
    x, y = np.meshgrid(chebyshev.nodes(25), chebyshev.nodes(20), indexing="ij")
    kept = chebyshev.surface(np.exp(0.5 * x) / (3.0 + y), 1e-6)
    u, v = np.meshgrid(np.linspace(-1.0, 1.0, 40), np.linspace(-1.0, 1.0, 40), indexing="ij")
    error = np.abs(reference.chebval2d(u, v, kept) - np.exp(0.5 * u) / (3.0 + v)).max()
    assert error < 1.2e-6
    assert kept.shape[0] < 12
    assert kept.shape[1] < 12


def test_what_is_not_smooth_is_refused() -> None:
    values = np.random.default_rng(1).normal(size=(25, 20))
    with pytest.raises(ArithmeticError):
        chebyshev.surface(values, 1e-6)


def test_stored_digits() -> None:
    values = np.array([19119.659061234567, -1.23456789012e-3, 4e-9])
    assert chebyshev.rounded(values, 1e-2).tolist() == [19119.65906, -0.00123, 0.0]
    assert chebyshev.rounded(np.array([0.0008501236494987]), 5e-10).tolist() == [0.0008501236495]
