"""The vehicle file: keys, reader, faults, defaults, set-ups, template, writer."""
