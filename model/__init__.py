"""What is true of the vehicle: its file, its equations, its geometry and its load budget."""
