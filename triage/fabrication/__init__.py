"""The fabrication route."""
