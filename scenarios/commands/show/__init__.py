"""Commands: showing it to others."""
