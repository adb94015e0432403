"""Pictures: showing it to others."""
