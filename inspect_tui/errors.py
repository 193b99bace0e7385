"""Everything that can be refused or go wrong, each as one sentence that a boat owner understands.

InspectError
├── DomainError
│   ├── NotAllowed          the rules of the walk forbid it
│   ├── NotUnderstood       what was typed cannot be read as what was asked for
│   ├── NothingToUndo       no change is left that can be taken back
│   └── Unfit               a record that could not be read again as it would be stored
├── CannotCalculate         the input does not carry the result asked for
├── StoreError
│   ├── NotABook            the file is something else
│   ├── Damaged             the bytes are not a whole book
│   ├── NothingToRestore    damaged, and no whole copy was found
│   ├── ReadOnly            the book is open for reading only
│   ├── CannotStore         a text that no file can hold
│   ├── ChangedElsewhere    another program wrote the file meanwhile
│   └── BadChecklist        a file of trade knowledge cannot be used
└── HandoverError
    ├── CannotSet           the PDF cannot be set
    ├── BadPicture          a picture cannot be used
    ├── BadTable            a file is no field table
    ├── NoProof             a file says nothing of the book it came from
    └── Stopped             somebody asked to stop; nothing was written
"""

from __future__ import annotations


class InspectError(Exception):
    """Root of all errors of this program."""


class DomainError(InspectError):
    """Base of what the rules of a book refuse."""


class NotAllowed(DomainError):
    """The rules of the walk do not allow this answer or change."""


class NotUnderstood(DomainError):
    """What was typed cannot be read as what was asked for."""


class NothingToUndo(DomainError):
    """No change is left that can be taken back."""


class Unfit(DomainError):
    """A record could not be read again as it would be stored; the book is as it was."""


class CannotCalculate(InspectError):
    """The input does not carry the result asked for; the text says why, and what would."""


class StoreError(InspectError):
    """Base of all troubles on disk."""


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


class HandoverError(InspectError):
    """Base of what goes wrong with papers, pictures and tables."""


class CannotSet(HandoverError):
    """The PDF cannot be set; says why."""


class BadPicture(HandoverError):
    """A picture cannot be used; says why."""


class BadTable(HandoverError):
    """The file cannot be read as a field table at all, with one sentence why."""


class NoProof(HandoverError):
    """The file says nothing of the book it came from."""


class Stopped(HandoverError):
    """Somebody asked to stop; nothing was written."""
