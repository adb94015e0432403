"""Commands: what would help."""
