"""Solvers for many cases at once."""
