"""Everything on disk: the book file and its promises, and the trade knowledge read from `checklists/`."""
