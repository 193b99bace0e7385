"""What each part of the papers says, built from the book and its judgement."""
