"""SHA-256 of files."""

from __future__ import annotations

import hashlib
from pathlib import Path


def digest_of_file(path: Path) -> str:
    """SHA-256 in hexadecimal; the file is not held whole."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
