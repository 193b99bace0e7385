"""What it costs, by the owner's own numbers, and what would tell more."""
