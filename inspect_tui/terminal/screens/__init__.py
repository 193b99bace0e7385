"""One screen a file, each with its stylesheet beside it."""
