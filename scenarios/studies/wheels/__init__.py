"""Single wheels: which one lifts first, where, and what part of it is the torque of the shafts."""
