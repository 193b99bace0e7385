"""What can be refused by the rules of the walk, each as one sentence for the owner."""

from __future__ import annotations


class DomainError(Exception):
    """Base of all refusals of this room; its text is one sentence a boat owner understands."""


class NotAllowed(DomainError):
    """The rules of the walk do not allow this answer or change."""


class NotUnderstood(DomainError):
    """What was typed cannot be read as what was asked for."""


class NothingToUndo(DomainError):
    """No change is left that can be taken back."""
