"""Commands: measuring."""
