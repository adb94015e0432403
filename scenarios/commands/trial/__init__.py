"""Commands: a fair trial."""
