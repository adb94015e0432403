"""Pictures: every function takes a finished result and never solves."""
