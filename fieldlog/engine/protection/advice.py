"""One finding with its level and source from the tables."""

from typing import Any

from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import MapFinding


def advise(tables: CodeTables, key: str, **members: Any) -> MapFinding:
    """Give a finding whose level, clause, edition and how they are known stand in the tables.

    Parameters
    ----------
    tables : CodeTables
        With an entry of that id.
    key : str
        Id of the finding.
    **members
        The part, runs and amounts that it speaks of.

    Returns
    -------
    MapFinding
        Never one without a source: a missing entry raises KeyError.
    """
    entry = tables.entries[key]
    return MapFinding(key, entry.level, entry.source, entry.edition, entry.known, **members)
