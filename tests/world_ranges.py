"""The plausible world's ranges, as the engine's tests use them."""

import json

from fieldlog.engine.world import Ranges
from fieldlog.rulebook import SCHEMAS


def world_ranges() -> Ranges:
    table = json.loads((SCHEMAS / "facts/world.json").read_text(encoding="utf-8"))
    return {entry["id"]: (entry["low"], entry["high"]) for entry in table["entries"]}
