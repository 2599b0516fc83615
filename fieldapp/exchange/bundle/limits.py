"""How much a bundle may hold: the writer keeps to it, the reader refuses what is beyond it.

Entries are gone through one by one; what bounds them is the time that a tablet takes and the disk it has.
"""

from __future__ import annotations

from typing import Final

MOST_BYTES: Final = 2 * 2**30
MOST_MEMBERS: Final = 50_000
CHUNK: Final = 2**20
LARGEST_ENTRIES: Final = 2**30
LARGEST_ENTRY: Final = 2**20
LEAST_ENTRY: Final = 300
"""No entry is as short: its names, hash, id and moments alone are longer."""
LARGEST_FILE: Final = 100 * 2**20
LARGEST_MANIFEST: Final = 16 * 2**20
