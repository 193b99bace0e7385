"""Random names: of a new book, and of each copy of one."""

from __future__ import annotations

import secrets

from inspect_tui.domain.identity import COPY_LENGTH, COPY_SIGNS, Identity


def new_copy_name() -> str:
    return "".join(secrets.choice(COPY_SIGNS) for _ in range(COPY_LENGTH))


def new_identity() -> Identity:
    return Identity(book_id=secrets.token_hex(16), copy_name=new_copy_name())
