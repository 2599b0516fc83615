"""The evidence tables and their guards, as plain SQL that every opening compares letter by letter.

Entries can be added at the end of a chain and nothing else: no update, no delete, no replace, from any
connection.  The columns beside ``sealed`` are copies for questions, and the database holds them equal to it;
``arrival`` numbers the entries as they came into this file and is no part of the evidence.
"""

from __future__ import annotations

from typing import Final

APPLICATION_ID: Final = 0x42734E74  # "BsNt"
SCHEMA_VERSION: Final = 1

_ENTRIES: Final = """CREATE TABLE entries (
    arrival INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE CHECK (length(id) = 36),
    device TEXT NOT NULL REFERENCES devices (device),
    seq INTEGER NOT NULL CHECK (seq >= 1),
    stamp INTEGER NOT NULL CHECK (stamp >= 1),
    project TEXT NOT NULL,
    shaft TEXT,
    kind TEXT NOT NULL,
    version INTEGER NOT NULL CHECK (version >= 1),
    observed_at TEXT NOT NULL,
    recorded_at TEXT NOT NULL,
    author TEXT NOT NULL,
    sealed TEXT NOT NULL CHECK (json_valid(sealed)),
    prev TEXT NOT NULL CHECK (length(prev) = 64),
    hash TEXT NOT NULL CHECK (length(hash) = 64),
    UNIQUE (device, seq),
    CHECK (json_extract(sealed, '$.id') = id),
    CHECK (json_extract(sealed, '$.device') = device),
    CHECK (json_extract(sealed, '$.seq') = seq),
    CHECK (json_extract(sealed, '$.stamp') = stamp),
    CHECK (json_extract(sealed, '$.project') = project),
    CHECK (json_extract(sealed, '$.shaft') IS shaft),
    CHECK (json_extract(sealed, '$.kind') = kind),
    CHECK (json_extract(sealed, '$.version') = version),
    CHECK (json_extract(sealed, '$.observed_at') = observed_at),
    CHECK (json_extract(sealed, '$.recorded_at') = recorded_at),
    CHECK (json_extract(sealed, '$.author') = author),
    CHECK (json_extract(sealed, '$.prev') = prev)
) STRICT"""

_DEVICES: Final = """CREATE TABLE devices (
    device TEXT NOT NULL PRIMARY KEY,
    origin TEXT NOT NULL CHECK (origin IN ('here', 'received')),
    head_seq INTEGER NOT NULL DEFAULT 0 CHECK (head_seq >= 0),
    head_hash TEXT NOT NULL CHECK (length(head_hash) = 64)
) STRICT, WITHOUT ROWID"""

_FORMS: Final = """CREATE TABLE forms (
    key TEXT NOT NULL PRIMARY KEY,
    shaft TEXT,
    body TEXT NOT NULL CHECK (json_valid(body)),
    saved_at TEXT NOT NULL
) STRICT, WITHOUT ROWID"""

_IN_ORDER: Final = "CREATE INDEX entries_in_order ON entries (stamp, device, seq)"
_BY_SHAFT: Final = "CREATE INDEX entries_by_shaft ON entries (shaft, stamp)"

_NO_UPDATE: Final = """CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
BEGIN
    SELECT RAISE(ABORT, 'an entry is never changed; amend it by a new entry');
END"""

_NO_DELETE: Final = """CREATE TRIGGER entries_are_never_deleted BEFORE DELETE ON entries
BEGIN
    SELECT RAISE(ABORT, 'an entry is never deleted; strike it by a new entry');
END"""

# Stops INSERT OR REPLACE before it deletes anything, even where recursive_triggers is off.
_LINKED: Final = """CREATE TRIGGER entries_follow_the_one_before BEFORE INSERT ON entries
BEGIN
    SELECT RAISE(ABORT, 'an entry with this id is already in the journal')
    WHERE EXISTS (SELECT 1 FROM entries WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'the entry does not say that it is the next to arrive')
    WHERE NEW.arrival IS NOT (SELECT coalesce(max(arrival), 0) + 1 FROM entries);
    SELECT RAISE(ABORT, 'the entry does not follow the last one of its device')
    WHERE NOT EXISTS (
        SELECT 1 FROM devices
        WHERE device = NEW.device AND head_seq = NEW.seq - 1 AND head_hash = NEW.prev
    );
    SELECT RAISE(ABORT, 'the stamp of the entry does not rise')
    WHERE NEW.stamp <= (SELECT stamp FROM entries WHERE device = NEW.device AND seq = NEW.seq - 1);
    SELECT RAISE(ABORT, 'the entry belongs to another project')
    WHERE NEW.project <> (SELECT project FROM entries LIMIT 1);
END"""

_HEAD: Final = """CREATE TRIGGER entries_move_the_head AFTER INSERT ON entries
BEGIN
    UPDATE devices SET head_seq = NEW.seq, head_hash = NEW.hash WHERE device = NEW.device;
END"""

_DEVICE_NEW: Final = """CREATE TRIGGER devices_start_empty BEFORE INSERT ON devices
BEGIN
    SELECT RAISE(ABORT, 'the device is already in the journal')
    WHERE EXISTS (SELECT 1 FROM devices WHERE device = NEW.device);
    SELECT RAISE(ABORT, 'a device starts without entries')
    WHERE NEW.head_seq <> 0 OR NEW.head_hash <> printf('%064d', 0);
END"""

_DEVICE_STAYS: Final = """CREATE TRIGGER devices_are_never_deleted BEFORE DELETE ON devices
BEGIN
    SELECT RAISE(ABORT, 'a device is never deleted');
END"""

_DEVICE_RISES: Final = """CREATE TRIGGER devices_only_grow BEFORE UPDATE ON devices
BEGIN
    SELECT RAISE(ABORT, 'a device keeps its name')
    WHERE NEW.device <> OLD.device;
    SELECT RAISE(ABORT, 'a chain that came from elsewhere is not continued here')
    WHERE NEW.origin = 'here' AND OLD.origin <> 'here';
    SELECT RAISE(ABORT, 'the head of a chain only moves to its next entry')
    WHERE (NEW.head_seq <> OLD.head_seq OR NEW.head_hash <> OLD.head_hash) AND NOT (
        NEW.head_seq = OLD.head_seq + 1 AND EXISTS (
            SELECT 1 FROM entries
            WHERE device = NEW.device AND seq = NEW.head_seq AND hash = NEW.head_hash
        )
    );
END"""

TABLES: Final = {"devices": _DEVICES, "entries": _ENTRIES, "forms": _FORMS}
INDEXES: Final = {"entries_in_order": _IN_ORDER, "entries_by_shaft": _BY_SHAFT}
TRIGGERS: Final = {
    "entries_are_never_changed": _NO_UPDATE,
    "entries_are_never_deleted": _NO_DELETE,
    "entries_follow_the_one_before": _LINKED,
    "entries_move_the_head": _HEAD,
    "devices_start_empty": _DEVICE_NEW,
    "devices_are_never_deleted": _DEVICE_STAYS,
    "devices_only_grow": _DEVICE_RISES,
}
EXPECTED: Final = {**TABLES, **INDEXES, **TRIGGERS}
