"""What people write (facility, proposal) and what the program answers: frozen, validated, without behaviour."""
