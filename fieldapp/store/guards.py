"""Whether the evidence tables, their indexes and triggers stand in the file as they were made."""

from __future__ import annotations

from fieldapp.store.driver import sqlite3
from fieldapp.store.schema import EXPECTED, TABLES, TRIGGERS


def altered_guards(connection: sqlite3.Connection) -> tuple[str, ...]:
    """What differs from the expected schema, in words; empty when nothing does.

    A trigger that is not ours is named too: it could swallow entries without a word.
    """
    found = dict(connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"))
    triggers = {
        name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    }
    wrong = []
    for name, sql in EXPECTED.items():
        what = "trigger" if name in TRIGGERS else "table" if name in TABLES else "index"
        if name not in found:
            wrong.append(f"the {what} {name} is missing")
        elif found[name] != sql:
            wrong.append(f"the {what} {name} was changed")
    wrong.extend(f"the trigger {name} is not one of ours" for name in sorted(triggers - set(TRIGGERS)))
    return tuple(wrong)
