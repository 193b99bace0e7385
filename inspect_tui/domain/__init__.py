"""What is written down about a boat, and the rules of the walk. No disk, no clock, no screen."""
