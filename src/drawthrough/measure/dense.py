"""Small dense linear algebra by rows: the few routines that the joint fit needs, without a library."""

import math
from operator import mul

from drawthrough.errors import Unresolvable


def cholesky(matrix: list[list[float]]) -> list[list[float]]:
    """Return the lower Cholesky factor of a positive definite matrix given by its lower rows.

    Parameters
    ----------
    matrix : list of list of float
        Row i holds at least the i + 1 entries up to the diagonal.

    Returns
    -------
    list of list of float
        Lower factor, row i with i + 1 entries.

    Raises
    ------
    Unresolvable
        The matrix is not positive definite.

    Notes
    -----
    Row-oriented, so that the inner product runs over whole rows.

    Examples
    --------
    >>> cholesky([[4.0], [2.0, 5.0]])
    [[2.0], [1.0, 2.0]]

    References
    ----------
    .. [1] Golub, Van Loan, Matrix Computations, 4th ed., section 4.2.
    """
    factor: list[list[float]] = []
    for i, given in enumerate(matrix):
        row: list[float] = []
        for j in range(i):
            other = factor[j]
            row.append((given[j] - sum(map(mul, row, other))) / other[j])
        rest = given[i] - sum(map(mul, row, row))
        if not rest > 0.0:
            raise Unresolvable(
                "The normal equations are not positive definite: an unknown has neither reading nor prior."
            )
        row.append(math.sqrt(rest))
        factor.append(row)
    return factor


def forward(factor: list[list[float]], right: list[float]) -> list[float]:
    """Solve L x = b for a lower factor L.

    Parameters
    ----------
    factor : list of list of float
        Lower factor, row i with i + 1 entries.
    right : list of float
        Right side.


    Returns
    -------
    list of float
        x.

    Notes
    -----
    Row by row, as [1]_ has it.

    Examples
    --------
    >>> forward([[2.0], [1.0, 2.0]], [2.0, 5.0])
    [1.0, 2.0]

    References
    ----------
    .. [1] Golub, Van Loan, Matrix Computations, 4th ed., section 3.1.
    """
    solved: list[float] = []
    for row, value in zip(factor, right, strict=True):
        solved.append((value - sum(map(mul, row, solved))) / row[-1])
    return solved


def backward(factor: list[list[float]], right: list[float]) -> list[float]:
    """Solve L' x = b for a lower factor L and its transpose L'.

    Parameters
    ----------
    factor : list of list of float
        Lower factor, row i with i + 1 entries.
    right : list of float
        Right side.


    Returns
    -------
    list of float
        x.

    Notes
    -----
    Column by column, so that the rows of L serve as they are [1]_.

    Examples
    --------
    >>> backward([[2.0], [1.0, 2.0]], [4.0, 4.0])
    [1.0, 2.0]

    References
    ----------
    .. [1] Golub, Van Loan, Matrix Computations, 4th ed., section 3.1.
    """
    solved = list(right)
    for i in range(len(factor) - 1, -1, -1):
        row = factor[i]
        value = solved[i] = solved[i] / row[i]
        for j in range(i):
            solved[j] -= row[j] * value
    return solved


def inverse_factor(factor: list[list[float]]) -> list[list[float]]:
    """Return the inverse of a lower factor.

    Parameters
    ----------
    factor : list of list of float
        Lower factor, row i with i + 1 entries.


    Returns
    -------
    list of list of float
        Lower rows of the inverse, row i with i + 1 entries.

    Notes
    -----
    Column by column [1]_; a lower factor has a lower inverse.

    Examples
    --------
    >>> inverse_factor([[2.0], [1.0, 2.0]])
    [[0.5], [-0.25, 0.5]]

    References
    ----------
    .. [1] Golub, Van Loan, Matrix Computations, 4th ed., section 3.1.
    """
    columns: list[list[float]] = []
    size = len(factor)
    for start in range(size):
        column = [1.0 / factor[start][start]]
        for i in range(start + 1, size):
            row = factor[i]
            column.append(-sum(map(mul, row[start:i], column)) / row[i])
        columns.append(column)
    return [[columns[j][i - j] for j in range(i + 1)] for i in range(size)]


def covariance(factor: list[list[float]]) -> list[list[float]]:
    """Return the inverse of the matrix whose lower factor is given.

    Parameters
    ----------
    factor : list of list of float
        Lower factor, row i with i + 1 entries.


    Returns
    -------
    list of list of float
        The full symmetric inverse.

    Notes
    -----
    The inverse of L L' is the product of the inverse of L', and of L [1]_.

    Examples
    --------
    >>> covariance([[2.0], [1.0, 2.0]])
    [[0.3125, -0.125], [-0.125, 0.25]]

    References
    ----------
    .. [1] Golub, Van Loan, Matrix Computations, 4th ed., section 4.2.
    """
    rows = inverse_factor(factor)
    size = len(rows)
    columns = [[rows[i][j] for i in range(j, size)] for j in range(size)]
    full = [[0.0] * size for _ in range(size)]
    for i in range(size):
        for j in range(i + 1):
            full[i][j] = full[j][i] = sum(map(mul, columns[i], columns[j][i - j :]))
    return full
