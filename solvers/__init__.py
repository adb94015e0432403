"""How equations are solved; nothing here knows what a wheel is."""
