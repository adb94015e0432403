"""Fits, errors, exact tests: what readings say and how sure."""
