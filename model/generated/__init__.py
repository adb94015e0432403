"""Kernels written by `python -m model.derive`; nothing here is edited by hand."""
