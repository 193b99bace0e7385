"""Readings as they are typed, where they are taken, and what of a plate chance has drawn."""
