"""What would help: numbers, setups and changes ranked; one change on random vehicles."""
