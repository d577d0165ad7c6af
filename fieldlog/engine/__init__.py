"""Readings go in, findings come out; no web, database, clock or disk."""

from fieldlog.engine.assess import assess

__all__ = ["assess"]
