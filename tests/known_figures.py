"""Figures whose goal is known not to be reached: neither red every time, nor passed over in silence."""


def hold_known(what: str, found: int, *, of: int, goal: float, known: int) -> None:
    """Hold a count against the one that it is known to have, and say both beside the goal.

    It fails where the count is worse. It fails as well where the goal is reached, or where the count is
    better by more than a tenth, as the known figure is then to be dropped or tightened.
    """
    print(f"{what} {_share(found, of)} (goal {_share(goal, of)}, known figure {_share(known, of)})")
    assert found <= known, f"{what}: worse than is known"
    assert found > goal, f"{what}: the goal is reached; hold it in place of the known figure"
    assert found >= 0.9 * known, f"{what}: better than is known; {found} is the known figure now"


def _share(count: float, of: int) -> str:
    return f"{count:.0f} of {of}, {100 * count / of:.2g} %"
