"""What protects what: guards, the map against the trips, and advice."""

from fieldlog.engine.protection.accepting import accept, is_drawable
from fieldlog.engine.protection.intake import MOST_TRIPS, map_of_body, read_map
from fieldlog.engine.protection.judge import answer, judge, places_for_one_more

__all__ = [
    "MOST_TRIPS",
    "accept",
    "answer",
    "is_drawable",
    "judge",
    "map_of_body",
    "places_for_one_more",
    "read_map",
]
