"""Set-ups side by side, with a verdict."""
