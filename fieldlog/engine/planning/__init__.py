"""What can run here: volts at the rig, limits, starts, sets of loads, and hours on a battery."""

from fieldlog.engine.planning.plan import plan

__all__ = ["plan"]
