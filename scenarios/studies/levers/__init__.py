"""What would help: numbers, set-ups and changes ranked; one change on random vehicles."""
