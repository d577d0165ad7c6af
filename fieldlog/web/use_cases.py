"""Finds the use cases: each folder beside this file that has views is one, and nothing else lists them."""

import re
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Final

from flask import Blueprint

FOLDER: Final = Path(__file__).resolve().parent


@cache
def views() -> tuple[ModuleType, ...]:
    """Give the views of each use case, in the order of their names."""
    found = sorted(path.parent.name for path in FOLDER.glob("*/views.py"))
    return tuple(import_module(f"fieldlog.web.{name}.views") for name in found)


def blueprints() -> tuple[Blueprint, ...]:
    """Give the blueprint of each use case."""
    return tuple(each.blueprint for each in views())


def kept_for(path: str) -> str | None:
    """Give the page that a phone keeps for an address, None where it keeps none."""
    kept = (page for pattern, page in kept_pages().items() if re.search(pattern, path))
    return path if path in kept_pages().values() else next(kept, None)


@cache
def kept_pages() -> Mapping[str, str]:
    """Give what an address looks like that opens without the server, and the page that is kept for it.

    Each use case names its own in KEPT.
    """
    return dict(sorted(pair for each in views() for pair in getattr(each, "KEPT", {}).items()))
