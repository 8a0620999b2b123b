"""Sharing platforms across projects: a plan, its proven bound, and the reasons behind it."""
