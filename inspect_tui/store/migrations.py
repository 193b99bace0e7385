"""From one schema of the book to the next: pure functions on its tables, N to N + 1.

Each gets a copy it may change and returns it. A row it cannot bring over it leaves as it is: rows that
the models then refuse are set aside as unreadable, never dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from inspect_tui.domain.chain import chained
from inspect_tui.store.envelope import Tables

SCHEMA = 2
Migration = Callable[[Tables], Tables]
# 2: the trail became a chain; photos, field sheets and rates came in.
MIGRATIONS: Mapping[int, Migration] = {1: chained}


def migrate(tables: Tables, schema: int, to: int, migrations: Mapping[int, Migration]) -> Tables:
    for step in range(schema, to):
        tables = migrations[step](tables)
    return tables
