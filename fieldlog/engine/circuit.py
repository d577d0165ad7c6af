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
    """Give the branch of a resistance [ohm, above 0].

    Raises
    ------
    ZeroDivisionError
        At 0 ohm, which has no admittance.

    Examples
    --------
    >>> resistor("a", "b", 4.0).siemens
    (0.25+0j)
    """
    return Branch(start, end, complex(1.0 / ohms))


def capacitor(start: str, end: str, farads: float, hertz: float = 60.0) -> Branch:
    """Give the branch of a capacitance [F, above 0] at a frequency [Hz].

    Notes
    -----
    Y = j 2 pi f C.

    Examples
    --------
    An open conductor beside a live one, 1 nF at 60 Hz, is 2.65 megohm:

    >>> round(1e-6 / abs(capacitor("a", "b", 1e-9).siemens), 2)
    2.65
    """
    return Branch(start, end, complex(0.0, 2.0 * 3.141592653589793 * hertz * farads))


def voltage_source(start: str, end: str, volts: complex, ohms: float) -> Branch:
    """Give the Norton form of a source [V] behind a resistance [ohm], `end` being its live side.

    Raises
    ------
    ZeroDivisionError
        At 0 ohm; a stiff source has a small resistance.

    Examples
    --------
    120 V behind 0.5 ohm drives 240 A into a short:

    >>> voltage_source("earth", "a", 120.0, 0.5).amps
    240.0
    """
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
    rows = _eliminated(_matrix(branches, {name: index for index, name in enumerate(names)}))
    return {EARTH: 0j, **dict(zip(names, _solution(rows, 0), strict=True))}


@dataclass(frozen=True)
class Ports:
    """A circuit as seen from some of its nodes.

    Parameters
    ----------
    volts : dict of str to complex
        Open voltages against earth [V].
    ohms : dict of (str, str) to complex
        Transfer impedances [ohm]: volts at the first node for one ampere into the second.
    """

    volts: dict[str, complex]
    ohms: dict[tuple[str, str], complex]

    def ohms_between(self, start: str, end: str) -> complex:
        """Give the impedance [ohm] that two nodes show to what is connected between them.

        Examples
        --------
        Two branches of 3 and 5 ohm from earth stand in series between their ends:

        >>> seen = ports([resistor("earth", "a", 3.0), resistor("earth", "b", 5.0)], ["a", "b"])
        >>> round(abs(seen.ohms_between("a", "b")), 6)
        8.0
        """
        return (self.ohms[start, start] - self.ohms[end, start]) - (
            self.ohms[start, end] - self.ohms[end, end]
        )


def ports(branches: Sequence[Branch], nodes: Sequence[str]) -> Ports:
    """Solve a circuit once for its voltages and impedances at some nodes.

    Parameters
    ----------
    branches : sequence of Branch
        The circuit.
    nodes : sequence of str
        Where it is looked at; a node that no branch touches stands at earth behind the leak alone.

    Returns
    -------
    Ports
        Open voltages [V] and transfer impedances [ohm].

    Examples
    --------
    >>> seen = ports([voltage_source("earth", "a", 120, 2.0)], ["a"])
    >>> round(abs(seen.volts["a"]), 3), round(abs(seen.ohms["a", "a"]), 3)
    (120.0, 2.0)
    """
    names = list(dict.fromkeys([*_names(branches), *nodes]))
    index = {name: place for place, name in enumerate(names)}
    rows = _matrix(branches, index)
    for place, row in enumerate(rows):
        row.extend(1.0 + 0j if place == index[node] else 0j for node in nodes)
    rows = _eliminated(rows)
    volts = _solution(rows, 0)
    columns = {node: _solution(rows, place + 1) for place, node in enumerate(nodes)}
    return Ports(
        {node: volts[index[node]] for node in nodes},
        {(one, two): columns[two][index[one]] for one in nodes for two in nodes},
    )


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


def _eliminated(rows: list[list[complex]]) -> list[list[complex]]:
    size = len(rows)
    for column in range(size):
        pivot = max(range(column, size), key=lambda row: abs(rows[row][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        upper = rows[column]
        for row in range(column + 1, size):
            lower = rows[row]
            if lower[column]:
                factor = lower[column] / upper[column]
                for position in range(column, len(lower)):
                    lower[position] -= factor * upper[position]
    return rows


def _solution(rows: list[list[complex]], right_side: int) -> list[complex]:
    size = len(rows)
    solution = [0j] * size
    for row in range(size - 1, -1, -1):
        known = rows[row][size + right_side]
        for position in range(row + 1, size):
            known -= rows[row][position] * solution[position]
        solution[row] = known / rows[row][row]
    return solution
