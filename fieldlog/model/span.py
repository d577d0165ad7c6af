"""Between which numbers a quantity lies, as the book has it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Span:
    """What a number may be.

    Parameters
    ----------
    unit : str
        Of both bounds.
    least, most : float
        The bounds [unit].
    is_above : bool
        Whether the least itself is too little.
    """

    unit: str
    least: float
    most: float
    is_above: bool = False

    def holds(self, number: float) -> bool:
        """Say whether a number lies within.

        Examples
        --------
        >>> amps = Span("A", 0, 100, is_above=True)
        >>> amps.holds(0.0), amps.holds(0.1), amps.holds(100.0), amps.holds(100.1)
        (False, True, True, False)
        """
        return self.least <= number <= self.most and not (self.is_above and number == self.least)
