"""`inspect-tui calc`: the engineering on the command line, a specification for each topic."""
