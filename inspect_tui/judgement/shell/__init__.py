"""The shell as a whole: what is known where, and what became of it over the rounds."""
