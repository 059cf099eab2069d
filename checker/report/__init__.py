"""What a check says, in the forms people and programs read."""
