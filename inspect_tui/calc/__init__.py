"""`inspect-tui calc`: the engineering on the command line, no book needed."""
