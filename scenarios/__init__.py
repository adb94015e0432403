"""What a user runs: studies, pictures, commands and demo vehicles."""
