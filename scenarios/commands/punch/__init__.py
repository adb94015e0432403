"""Commands: a sudden throttle."""
