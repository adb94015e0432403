"""Setups side by side, with a verdict."""
