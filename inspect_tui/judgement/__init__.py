"""Where what was written down becomes what is to be done. Pure functions over a book."""
