"""Kernels written by `python -m noseload.model.symbols.derive`; nothing here is edited by hand."""
