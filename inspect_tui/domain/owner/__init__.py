"""What is the owner's alone, and never in the book."""
