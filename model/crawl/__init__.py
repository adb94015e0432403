"""The vehicle crawling steadily: its equilibrium, what its axles carry and why, where its parts lie."""
