from __future__ import annotations

import numpy as np
import pytest
from numpy.polynomial import chebyshev

from linesizer.properties import series

RANDOM = np.random.default_rng(7)


def test_powers() -> None:
    x = np.linspace(-1.0, 1.0, 9)
    for degree in (0, 1, 2, 5, 8, 13):
        assert series.powers(x, degree) == pytest.approx(np.array([x**k for k in range(degree + 1)]), abs=1e-15)


@pytest.mark.parametrize("terms", [1, 2, 3, 12, series.MOST_TERMS])
def test_power_row_is_the_chebyshev_series(terms: int) -> None:
    coefficients = RANDOM.normal(size=terms) * 0.5 ** np.arange(terms)
    x = np.linspace(-1.0, 1.0, 101)
    row = series.power_row(coefficients.tolist())
    assert series.horner(np.append(row, 0.0), x) == pytest.approx(chebyshev.chebval(x, coefficients), abs=1e-9)


def test_power_matrix_is_the_double_series() -> None:
    rows = [[3.0, 1.0, 0.2], [0.5], [0.1, 0.05, 0.02, 0.01]]
    full = np.array([[*row, *[0.0] * (4 - len(row))] for row in rows])
    x, y = RANDOM.uniform(-1.0, 1.0, (2, 50))
    found = series.horner(series.power_matrix(rows) @ series.powers(x, 2), y)
    assert found == pytest.approx(chebyshev.chebval2d(x, y, full), abs=1e-13)


def test_with_slope() -> None:
    terms = RANDOM.normal(size=(6, 4))
    y = RANDOM.uniform(-1.0, 1.0, 4)
    value, slope = series.horner(series.with_slope(terms), y)
    step = 1e-6
    assert value == pytest.approx(series.horner(terms, y))
    assert slope == pytest.approx(
        (series.horner(terms, y + step) - series.horner(terms, y - step)) / (2.0 * step), rel=1e-7
    )


def test_product_in_pieces() -> None:
    matrix = RANDOM.normal(size=(90, 20))
    rows = RANDOM.normal(size=(20, 5000))
    assert series.product(matrix, rows) == pytest.approx(matrix @ rows, rel=1e-12, abs=1e-12)
    assert series.product(matrix, rows[:, :10]) == pytest.approx(matrix @ rows[:, :10], rel=1e-12, abs=1e-12)


def test_stacked() -> None:
    rows = [np.array([1.0]), np.array([1.0, 2.0, 3.0])]
    assert series.stacked(rows).tolist() == [[1.0, 0.0, 0.0], [1.0, 2.0, 3.0]]
    body = series.stacked_matrices([np.ones((2, 3)), np.full((4, 1), 2.0)])
    assert body.shape == (4, 2, 3)
    assert body[:, 0].sum() == 6.0
    assert body[3, 1].tolist() == [2.0, 0.0, 0.0]
