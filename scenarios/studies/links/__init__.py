"""Link figures, what they promise, where to put a link end."""
