"""Potentials, currents, anodes, tank water and air."""
