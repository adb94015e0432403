"""From readings to numbers with errors: weighing, bench measurements, board readings."""
