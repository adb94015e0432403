"""A fair blinded trial: planned, sealed, rehearsed, read."""
