"""Faults planted on purpose, each where it would hurt somebody, and the tests that have to catch it."""
