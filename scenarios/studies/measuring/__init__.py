"""From readings to numbers with errors: weighing, bench measurements, board readings.

- Wheelbase, radii and angles enter `weigh` as observations with their errors, beside the scale.
- Stated errors are widened only where the readings contradict them at 1 %.
- `grip` writes the peak (it limits a creep), `damping` the mean of both directions (the law has one number).
- Armature inertia is taken as 0.65 to 1.03 of a solid cylinder of the can's armature.
"""
