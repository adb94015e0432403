"""What link ends say: instant centres, anti-squat, an axle followed over its travel."""
