"""Where equations are written, derived and printed; SymPy is imported here alone."""
