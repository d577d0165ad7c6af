"""What has drifted: a robust slope, a cumulative-sum alarm, and where a departure began."""

from fieldlog.engine.trend.trend import trend

__all__ = ["trend"]
