"""The centre of gravity from a scale, an angle gauge and a board."""
