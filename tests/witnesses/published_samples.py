"""Samples that the literature prints, shared by tests."""

DARWIN = [49, -67, 8, 16, 6, 23, 28, 41, 14, 29, 56, 24, 75, 60, -48]
"""Differences of crossed and self-fertilised maize, 1/8 inch: Darwin 1876, in Fisher, The Design of
Experiments, 1935, chapter III (digits from memory)."""
