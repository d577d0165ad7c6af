"""Outlets simulated apart from the engine: full circuits with ideal sources, solved by numpy.

Nothing here is imported from the package. The ranges are those of the plausible world; currents, joints and
conductors are modelled again from the outside, so that a mistake in the engine's circuits shows.
"""

from tests.simulated.checks import drawn_check, drawn_meter, pairs_of, read
from tests.simulated.network import Network
from tests.simulated.person import Person
from tests.simulated.sites import SPLIT_PHASE, THREE_WIRE, Site, drawn_site, floating_as_read
from tests.simulated.twins import HIDDEN, are_twins, looks_right, may_float, show_the_same, stands_out

JOINS = THREE_WIRE

__all__ = [
    "HIDDEN",
    "JOINS",
    "SPLIT_PHASE",
    "THREE_WIRE",
    "Network",
    "Person",
    "Site",
    "are_twins",
    "drawn_check",
    "drawn_meter",
    "drawn_site",
    "floating_as_read",
    "looks_right",
    "may_float",
    "pairs_of",
    "read",
    "show_the_same",
    "stands_out",
]
