"""The vehicle file: keys, reader, faults, defaults, setups, template, writer."""
