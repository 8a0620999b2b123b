"""What would change an answer, and plans over several platforms."""
