"""Studies a user runs: each takes a vehicle and options and returns one frozen result."""
