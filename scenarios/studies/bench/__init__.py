"""The vehicle held on the bench: torque against front load."""
