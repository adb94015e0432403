"""Single wheels: four loads, roll and steer on a slope, which wheel lifts first and why."""
