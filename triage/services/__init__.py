"""What a person can ask of the program; command line and screens call only these."""
