"""Laws behind what is measured at home: weighing, swings, falling weights, run-ups."""
