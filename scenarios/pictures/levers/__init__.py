"""Pictures: what would help."""
