"""Fast evaluation of the tables' series: power form, blocks that stay in the processor's cache.

The files hold Chebyshev coefficients.  They are turned into powers once, on loading: with variables inside -1..1 and
fewer than 45 terms that costs no digit that matters, and a power basis takes a handful of numpy calls to build.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

BLOCK = 8192
"""Points evaluated at once; measured best of 1024 to 50,000 on a processor with 1 MiB of second-level cache."""

MOST_TERMS = 45
SINGLE_THREAD_PRODUCTS = 200_000
"""Multiplications in one matrix product below which the usual BLAS library stays on one thread (it starts more at
262,144).  Products this small gain nothing from threads, and waiting for them has cost a hundred times the work."""


def powers(variable: FloatArray, degree: int) -> FloatArray:
    """Return the powers 0..degree of a flat variable, shape (degree + 1, points)."""
    rows = np.empty((degree + 1, variable.size))
    rows[0] = 1.0
    if degree:
        rows[1] = variable
    known = 1
    while known < degree:
        more = min(known, degree - known)
        np.multiply(rows[1 : more + 1], rows[known], out=rows[known + 1 : known + 1 + more])
        known += more
    return rows


@lru_cache(maxsize=1)
def _in_powers() -> FloatArray:
    """Return the matrix whose column k holds the power coefficients of the Chebyshev polynomial T_k."""
    matrix = np.zeros((MOST_TERMS, MOST_TERMS))
    matrix[0, 0] = matrix[1, 1] = 1.0
    for k in range(2, MOST_TERMS):
        matrix[1:, k] = 2.0 * matrix[:-1, k - 1]
        matrix[:, k] -= matrix[:, k - 2]
    return matrix


def power_row(coefficients: Sequence[float]) -> FloatArray:
    """Return the power coefficients of a Chebyshev series."""
    terms = len(coefficients)
    return np.asarray(_in_powers()[:terms, :terms] @ np.asarray(coefficients, dtype=np.float64))


def stacked(rows: Sequence[FloatArray]) -> FloatArray:
    """Return rows of power coefficients as one matrix, short ones filled with 0."""
    matrix = np.zeros((len(rows), max(len(row) for row in rows)))
    for line, row in zip(matrix, rows, strict=True):
        line[: len(row)] = row
    return matrix


def power_matrix(coefficients: Sequence[Sequence[float]]) -> FloatArray:
    """Return the power coefficients of a double Chebyshev series, shape (terms in y, terms in x).

    The files hold one row for each term in x, without the zeros at its end.
    """
    by_x = stacked([np.asarray(row, dtype=np.float64) for row in coefficients])
    in_x, in_y = by_x.shape
    return np.asarray(_in_powers()[:in_y, :in_y] @ by_x.T @ _in_powers()[:in_x, :in_x].T)


def stacked_matrices(matrices: Sequence[FloatArray]) -> FloatArray:
    """Return double series as one array, shape (terms in y, quantities, terms in x), short ones filled with 0."""
    rows = max(matrix.shape[0] for matrix in matrices)
    columns = max(matrix.shape[1] for matrix in matrices)
    together = np.zeros((rows, len(matrices), columns))
    for index, matrix in enumerate(matrices):
        together[: matrix.shape[0], index, : matrix.shape[1]] = matrix
    return together


def product(matrix: FloatArray, rows: FloatArray) -> FloatArray:
    """Return ``matrix @ rows``, in pieces that stay on one thread; the matrix has two rows or more.

    (A single row would go another way through the library, which starts threads much sooner: use ``horner``.)
    """
    size = rows.shape[1]
    piece = max(64, SINGLE_THREAD_PRODUCTS // matrix.size)
    if size <= piece:
        return np.asarray(matrix @ rows)
    result = np.empty((len(matrix), size))
    for start in range(0, size, piece):
        np.matmul(matrix, rows[:, start : start + piece], out=result[:, start : start + piece])
    return result


def horner(terms: FloatArray, variable: FloatArray) -> FloatArray:
    """Return sum of terms[k] variable^k over the first axis; ``variable`` belongs to the last one."""
    result = np.asarray(terms[-1] * variable)
    for term in terms[-2:0:-1]:
        result += term
        result *= variable
    result += terms[0]
    return result


def with_slope(terms: FloatArray) -> FloatArray:
    """Return a series with its derivative beside it: ``horner`` gives value and derivative together.

    The new axis comes second: shape (terms, ..., points) becomes (terms, 2, ..., points).
    """
    both = np.zeros((terms.shape[0], 2, *terms.shape[1:]))
    both[:, 0] = terms
    factor = np.arange(1.0, len(terms)).reshape(-1, *(1 for _ in terms.shape[1:]))
    np.multiply(terms[1:], factor, out=both[:-1, 1])
    return both
