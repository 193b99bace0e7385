"""What can go wrong on disk, each as one sentence for the owner."""

from __future__ import annotations


class StoreError(Exception):
    """Base of all troubles of this room."""


class NotABook(StoreError):
    """The file is something else; it is left as it is."""


class Damaged(StoreError):
    """The bytes are not a whole book; says how."""


class NothingToRestore(StoreError):
    """The book is damaged and no good copy was found; the file is left as it is."""


class ReadOnly(StoreError):
    """The book is open for reading only; says why."""


class CannotStore(StoreError):
    """A text holds signs that cannot be written to a file."""


class ChangedElsewhere(StoreError):
    """Another program wrote the file since it was last read or written here."""


class BadChecklist(StoreError):
    """A file of trade knowledge cannot be used: the file, the place in it, and what is wrong."""
