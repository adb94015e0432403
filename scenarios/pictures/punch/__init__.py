"""Pictures: a sudden throttle."""
