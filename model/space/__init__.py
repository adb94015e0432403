"""The vehicle in space: four wheels on a plane, each with its own load."""
