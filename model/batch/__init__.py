"""Many vehicles at once: the last axis of every array counts the cases."""
