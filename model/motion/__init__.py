"""The moving vehicle: rates, switches, inertia with gears, linearisation, programs of the inputs."""
