"""One module per page."""
