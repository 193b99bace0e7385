"""Plate fields and measuring."""
