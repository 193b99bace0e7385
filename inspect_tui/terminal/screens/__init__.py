"""One screen a file, in folders by subject, each with its stylesheet beside it."""
