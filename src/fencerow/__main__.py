"""`python -m fencerow`: the same as the command."""

from fencerow.cli import main

main()
