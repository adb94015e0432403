"""Version of the program, stated in every document it writes."""

VERSION = "0.1.0"
