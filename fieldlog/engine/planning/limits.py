"""Which rating binds, and whether the breaker guards what lies behind it."""

from collections.abc import Iterator
from dataclasses import dataclass

from fieldlog.engine.planning.model import Supply
from fieldlog.model.code_tables import CodeTables


@dataclass(frozen=True)
class Rating:
    """How many amps something carries.

    Parameters
    ----------
    what : str
        "breaker", "receptacle", "cord", "limit" or "inverter".
    amps : float
        Its rating [A].
    """

    what: str
    amps: float


def ratings(supply: Supply, tables: CodeTables) -> list[Rating]:
    """List all ratings on the way, in the order of the answer's words; of cords the smallest.

    References
    ----------
    NEC Table 400.5(A)(1), column B: a cord of hot, neutral and ground has two wires that carry current.
    """
    return list(_ratings(supply, tables))


def _ratings(supply: Supply, tables: CodeTables) -> Iterator[Rating]:
    if supply.breaker_amps is not None:
        yield Rating("breaker", supply.breaker_amps)
    if supply.receptacle_amps is not None:
        yield Rating("receptacle", supply.receptacle_amps)
    if supply.cords:
        yield Rating("cord", min(tables.entries[f"cord-two-{cord.awg}"].value for cord in supply.cords))
    if supply.limit_amps is not None:
        yield Rating("limit", supply.limit_amps)
    if supply.battery is not None:
        yield Rating("inverter", supply.battery.inverter_watts / supply.volts)


def binding(found: list[Rating]) -> Rating | None:
    """Give the smallest rating, of equals the first; None where there is none."""
    return min(found, key=lambda rating: rating.amps, default=None)


def without_a_breaker(supply: Supply, found: list[Rating]) -> list[Rating]:
    """List what carries less than the breaker lets through: cord and outlet."""
    breaker = supply.breaker_amps
    if breaker is None:
        return []
    return [rating for rating in found if rating.what in ("receptacle", "cord") and rating.amps < breaker]


def is_held(supply: Supply, rating: Rating) -> bool:
    """Say whether the limit that the person sets keeps something within its rating."""
    return supply.limit_amps is not None and supply.limit_amps <= rating.amps
