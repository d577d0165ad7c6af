"""Frozen dataclasses in the trade's own words, one noun a module."""
