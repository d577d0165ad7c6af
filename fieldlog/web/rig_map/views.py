"""A rig's map on a desk: its parts, its table, its versions and what it says."""

from fieldlog.web.rig_map import advice, beginnings, modes, part, table, versions
from fieldlog.web.rig_map.blueprint import blueprint

PAGES = (part, table, modes, beginnings, versions, advice)

__all__ = ["PAGES", "blueprint"]
