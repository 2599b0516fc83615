"""What this device remembers of signed chains, outside the project folders.

A journal that was rewritten or cut off can be consistent in itself; this memory shows that it is another
one.  It is a help and no evidence: one that is missing or damaged says "not known", and never stops anything.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final, TypeAlias

from fieldapp.desk.device import device_folder
from fieldapp.record.entry import Entry
from fieldapp.store.atomic_file import save_bytes


@dataclass(frozen=True, slots=True)
class Seen:
    """The last signed place of a chain that was seen here, and the fingerprint of the device's key."""

    seq: int
    hash: str
    fingerprint: str


Memory: TypeAlias = dict[str, dict[str, Seen]]  # by folder, then by device
_LONGEST: Final = 4_000_000


@dataclass(frozen=True, slots=True)
class Compared:
    """A journal beside what is remembered: whether anything is, what differs, and a remark."""

    known: bool
    wrong: tuple[str, ...] = ()
    remark: str = ""


def remember(folder: Path, project: str, seen: Mapping[str, Seen], entries: Iterable[Entry]) -> None:
    """Keep signed places of a project, each if it is higher than the one that is kept.

    ``entries`` hold at least all signatures of chains, which is what a signed place is.
    A place that is kept and does not stand in the journal any more stays: it shows that something is wrong.
    """
    memory = _load(project)
    kept = memory.setdefault(_name(folder), {})
    standing = _standing(kept, entries)
    better = {
        device: each
        for device, each in seen.items()
        if device not in kept or (device in standing and each.seq > kept[device].seq)
    }
    if better:
        kept.update(better)
        _save(project, memory)


@dataclass(frozen=True, slots=True)
class Standing:
    """A journal as far as it is held against memory.

    ``signed`` hold at least all signatures of chains; ``last`` are the numbers of the last entries and
    ``keys`` the fingerprints of device keys, by device.
    """

    signed: Collection[Entry]
    last: Mapping[str, int]
    keys: Mapping[str, str]


def compare(folder: Path, project: str, standing: Standing) -> Compared:
    """Hold a journal against what is remembered of it.

    A folder that was not seen before is held against each folder of that project that was; one that agrees
    is enough, because a folder may have been moved.
    """
    memory = _load(project)
    here = _name(folder)
    if here in memory:
        others = sorted(name for name in memory if name != here)
        differ = [name for name in others if _differences(memory[name], standing)]
        remark = f"Another copy of this project that was here differs: {', '.join(differ)}." if differ else ""
        return Compared(True, _differences(memory[here], standing), remark)
    found = [_differences(each, standing) for each in memory.values()]
    return Compared(bool(memory), min(found, key=len, default=()))


def _differences(kept: Mapping[str, Seen], journal: Standing) -> tuple[str, ...]:
    standing, last, keys = _standing(kept, journal.signed), journal.last, journal.keys
    wrong = []
    for device, seen in sorted(kept.items()):
        if seen.seq > last.get(device, 0):
            ends = last.get(device, 0)
            wrong.append(f"this device has seen entry {seen.seq} of device {device}, it ends at {ends}")
        elif device not in standing:
            wrong.append(f"entry {seen.seq} of device {device} is another one than this device has seen")
        if device in last and keys.get(device, "") != seen.fingerprint:
            wrong.append(f"the chain of device {device} has another key than this device has seen")
    return tuple(wrong)


def _standing(kept: Mapping[str, Seen], entries: Iterable[Entry]) -> frozenset[str]:
    """Devices of which the place that is kept stands in the journal."""
    wanted = {(device, seen.seq, seen.hash): device for device, seen in kept.items()}
    found = (wanted.get((each.device, each.seq, each.hash)) for each in entries)
    return frozenset(each for each in found if each is not None)


def witness_file(project: str) -> Path:
    """Where the memory of a project is kept."""
    return device_folder() / "seen" / f"{hashlib.sha256(project.encode()).hexdigest()[:16]}.json"


def _name(folder: Path) -> str:
    return str(folder.resolve())


def _load(project: str) -> Memory:
    try:
        with witness_file(project).open("rb") as file:
            said = json.loads(file.read(_LONGEST))
        if said["project"] != project:
            return {}
        return {
            str(folder): {str(device): _seen(each) for device, each in chains.items()}
            for folder, chains in said["folders"].items()
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}


def _seen(said: Mapping[str, object]) -> Seen:
    seq = said["seq"]
    if type(seq) is not int:
        raise TypeError("the number of an entry is a whole number")
    return Seen(seq, str(said["hash"]), str(said["fingerprint"]))


def _save(project: str, memory: Memory) -> None:
    said = {
        "project": project,
        "folders": {
            folder: {device: asdict(each) for device, each in chains.items()}
            for folder, chains in memory.items()
        },
    }
    path = witness_file(project)
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        save_bytes(path, json.dumps(said, indent=1, sort_keys=True).encode())
