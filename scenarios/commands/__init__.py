"""One module per command: its arguments, its text output and its exit code."""
