"""`python -m cutfiles` is the command."""

from cutfiles.cli import main

main()
