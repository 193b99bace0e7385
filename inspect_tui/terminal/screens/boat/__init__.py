"""Her compartments and particulars, and all changes."""
