"""Readings go in, findings come out; no web, database, clock or disk."""

from fieldlog.engine.assess import assess, verdict_and_first

__all__ = ["assess", "verdict_and_first"]
