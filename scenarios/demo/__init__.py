"""Demo vehicles of our own, invented."""
