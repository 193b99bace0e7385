"""The order of the walk, and what one look over a place may answer."""
