"""Pictures as SVG text, drawn by pure functions from what an answer holds."""
