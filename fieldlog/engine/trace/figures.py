"""How a trace writes numbers: seven digits, enough to redo each step by hand."""

from collections.abc import Mapping


def said(number: float) -> str:
    """Write a number with seven digits at most.

    Examples
    --------
    >>> said(121.3), said(1.0 / 3.0), said(0.0000123)
    ('121.3', '0.3333333', '1.23e-05')
    """
    return f"{number:.7g}"


def quotient(above: float, below: float) -> float:
    """Divide, and give 0 where nothing stands below."""
    return above / below if below else 0.0


def told(states: Mapping[str, str]) -> str:
    """Write what each of several things showed, by name."""
    return ", ".join(f"{name} {state}" for name, state in states.items())
