"""Pictures: a fair trial."""
