"""The part of the page that answers back: the vehicle's numbers, and the script that solves them in the reader's browser.

The kernels are printed from the tapes that the Python kernels come from (`noseload.model.symbols.script`); the small
solvers beside this file follow those of the command line step by step and are held against them by tests.
"""
