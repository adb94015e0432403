"""Pictures: measuring."""
