"""Linear circuits at one frequency, solved by nodal analysis."""

from collections.abc import Sequence
from dataclasses import dataclass

EARTH = "earth"
MINIMUM_SIEMENS = 1e-12
"""A leak from every node to earth, own choice: keeps a floating node's voltage defined."""


@dataclass(frozen=True)
class Branch:
    """An admittance between two nodes, with an optional current source beside it.

    Parameters
    ----------
    start, end : str
        Names of the nodes; "earth" is the reference.
    siemens : complex
        Admittance [S] between the two.
    amps : complex
        Current [A] that the source drives out of `start` and into `end`.
    """

    start: str
    end: str
    siemens: complex
    amps: complex = 0j


def resistor(start: str, end: str, ohms: float) -> Branch:
    """Give the branch of a resistance [ohm, above 0]."""
    return Branch(start, end, complex(1.0 / ohms))


def capacitor(start: str, end: str, farads: float, hertz: float = 60.0) -> Branch:
    """Give the branch of a capacitance [F, above 0] at a frequency [Hz]."""
    return Branch(start, end, complex(0.0, 2.0 * 3.141592653589793 * hertz * farads))


def voltage_source(start: str, end: str, volts: complex, ohms: float) -> Branch:
    """Give the Norton form of a source [V] behind a resistance [ohm], `end` being its live side."""
    return Branch(start, end, complex(1.0 / ohms), volts / ohms)


def node_volts(branches: Sequence[Branch]) -> dict[str, complex]:
    """Solve a circuit for the voltage of every node against earth.

    Parameters
    ----------
    branches : sequence of Branch
        The circuit.

    Returns
    -------
    dict of str to complex
        Node voltages [V], earth included as 0.

    Raises
    ------
    ZeroDivisionError
        When the admittance matrix is singular, which the leak to earth prevents.

    Notes
    -----
    Kirchhoff's current law at each node gives Y v = i, with Y the admittance matrix; solved by Gaussian
    elimination with partial pivoting. Holds for linear elements at one frequency; ignores harmonics.

    Examples
    --------
    Two equal resistors divide a source in halves:

    >>> source = voltage_source("earth", "a", 120, 0.001)
    >>> volts = node_volts([source, resistor("a", "b", 1000), resistor("b", "earth", 1000)])
    >>> round(abs(volts["b"]), 3)
    60.0

    References
    ----------
    Ho, Ruehli and Brennan, "The Modified Nodal Approach to Network Analysis", IEEE Trans. CAS-22 (6), 1975,
    section II.
    """
    names = _names(branches)
    matrix = _matrix(branches, {name: index for index, name in enumerate(names)})
    solution = _eliminate(matrix)
    return {EARTH: 0j, **dict(zip(names, solution, strict=True))}


def _names(branches: Sequence[Branch]) -> list[str]:
    seen: dict[str, None] = {}
    for branch in branches:
        for name in (branch.start, branch.end):
            if name != EARTH:
                seen[name] = None
    return list(seen)


def _matrix(branches: Sequence[Branch], index: dict[str, int]) -> list[list[complex]]:
    size = len(index)
    rows = [[0j] * (size + 1) for _ in range(size)]
    for diagonal in range(size):
        rows[diagonal][diagonal] += MINIMUM_SIEMENS
    for branch in branches:
        start, end = index.get(branch.start), index.get(branch.end)
        if start is not None:
            rows[start][start] += branch.siemens
            rows[start][size] -= branch.amps
        if end is not None:
            rows[end][end] += branch.siemens
            rows[end][size] += branch.amps
        if start is not None and end is not None:
            rows[start][end] -= branch.siemens
            rows[end][start] -= branch.siemens
    return rows


def _eliminate(rows: list[list[complex]]) -> list[complex]:
    size = len(rows)
    for column in range(size):
        pivot = max(range(column, size), key=lambda row: abs(rows[row][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        for row in range(column + 1, size):
            factor = rows[row][column] / rows[column][column]
            if factor:
                for position in range(column, size + 1):
                    rows[row][position] -= factor * rows[column][position]
    solution = [0j] * size
    for row in range(size - 1, -1, -1):
        known = rows[row][size]
        for position in range(row + 1, size):
            known -= rows[row][position] * solution[position]
        solution[row] = known / rows[row][row]
    return solution
