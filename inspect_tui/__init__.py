"""Walk a metal boat compartment by compartment, and end with the list of what to do first."""
