"""Pictures: link geometry."""
