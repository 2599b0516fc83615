"""What else there is of a damaged project: backups, bundles and journal files, to fill gaps from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from fieldapp.exchange.bounded import read_at_most
from fieldapp.exchange.bundle.reading import read_bundle
from fieldapp.record.entry import hash_of
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.store.damaged import Remains, remains_of
from fieldapp.store.problems import in_plain_words

_LARGEST_LINES = 2 * 2**30
_LINES = (".jsonl", ".txt")  # a journal file, and one that was attached to a note


@dataclass(frozen=True, slots=True)
class Sources:
    """What these hold together; ``folders`` may hold pictures and papers too."""

    remains: Remains
    folders: tuple[Path, ...]

    @classmethod
    def of(cls, paths: Iterable[Path]) -> Sources:
        """Read them all.  Raises BundleRefused, Impossible or StoreProblem for the first that is none."""
        remains, folders = Remains(), []
        for path in paths:
            if path.is_dir():
                remains.take(remains_of(path))
                folders.append(path)
            elif path.suffix in _LINES:
                _take_lines(remains, path)
            else:
                _take_bundle(remains, path)
        return cls(remains, tuple(folders))


def _take_lines(remains: Remains, path: Path) -> None:
    with in_plain_words(path):
        content = read_at_most(path, _LARGEST_LINES)
    if content is None:
        raise Impossible(path.name, said("a larger file"), said("at most {n} bytes", n=_LARGEST_LINES))
    remains.take_lines(content)


def _take_bundle(remains: Remains, path: Path) -> None:
    """The entries of a bundle; its own hashes vouch for them, and its heads for where chains had come to."""
    with in_plain_words(path), path.open("rb") as file:
        bundle = read_bundle(path, file)
        for sealed in bundle.entries():
            remains.name(sealed, hash_of(sealed))
        remains.heads |= {(each.device, each.seq, each.hash) for each in bundle.manifest.heads}
