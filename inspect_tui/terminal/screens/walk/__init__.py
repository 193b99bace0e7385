"""The walk, findings and their photos."""
