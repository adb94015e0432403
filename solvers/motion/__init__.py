"""Solvers over time, and the protocol of what they can move."""
