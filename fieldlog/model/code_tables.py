"""Tables of the electrical code, as fieldlog/tables.py reads them: each entry with its source."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class CodeEntry:
    """One line of a table.

    Parameters
    ----------
    id : str
        Its name.
    unit : str
        Of the value, "1" where it has none.
    value : float
        The figure; 0 where the entry is a rule without one.
    level : str
        "stop", "limit" or "note" for a finding, "" elsewhere.
    says, do : str
        What a rule or a finding says, and what to do now; "" elsewhere.
    source, edition, known : str
        Document and clause, edition, and how the entry is known.
    """

    id: str
    unit: str
    value: float
    level: str
    says: str
    do: str
    source: str
    edition: str
    known: str


@dataclass(frozen=True)
class CodeTables:
    """All entries by their ids.

    Parameters
    ----------
    entries : mapping of str to CodeEntry
        The newest entry of each id.
    """

    entries: Mapping[str, CodeEntry]

    def value(self, key: str) -> float | None:
        """Give the figure of an entry, None where the tables have none."""
        entry = self.entries.get(key)
        return None if entry is None else entry.value
