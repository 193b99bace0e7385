"""What is to be done."""
