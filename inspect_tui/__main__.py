"""`python -m inspect_tui` is the console script."""

from inspect_tui.cli import main

main()
