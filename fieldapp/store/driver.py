"""The one SQLite module of this process, the newer of the two where there are two.

Two SQLite libraries on one file in one process break its locks, and their errors do not catch each
other; so every import and every error name in this package comes from here.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import sqlite3
else:
    try:
        sqlite3 = importlib.import_module("pysqlite3")
    except ImportError:
        import sqlite3

__all__ = ["OLDEST", "VERSION", "safe_to_write", "sqlite3"]

VERSION: Final[tuple[int, int, int]] = sqlite3.sqlite_version_info
# STRICT tables (3.37), JSON functions in every build (3.38) and allowed in CHECKs while the schema is not
# trusted (3.41; 3.40.1 refuses them).
OLDEST: Final = (3, 41, 0)

_FIXED: Final = (3, 51, 3)
_BACKPORTS: Final = ((3, 44, 6), (3, 50, 7))


def safe_to_write(version: tuple[int, int, int]) -> bool:
    """Whether this SQLite is free of the WAL-reset fault (3.7.0 to 3.51.2 but for backports).

    The fault needs two connections that write or checkpoint at the same instant.  The writer lock and
    read-only readers keep a second one away on every version; where the fault is still in the library, a
    foreign program that writes to the file is a danger too, and the check of the store says so.
    Source: release notes of SQLite 3.51.3.
    """
    if version < (3, 7, 0) or version >= _FIXED:
        return True
    return any(version[:2] == fixed[:2] and version >= fixed for fixed in _BACKPORTS)
