"""`python -m triage` is the command line."""

from triage.cli import main

main()
