"""A sudden throttle: one, many, limits, a map."""
