"""Numbers in, numbers out: one module per subject, each formula with its published source."""
