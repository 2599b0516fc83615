"""Every reader of files from outside, as the program calls it, and the good files that are made wrong for it.

A reader gets a file in a room of its own.  It may take the file or refuse it with a known problem; when it
refuses, the room must be as it was.
"""

from __future__ import annotations

import json
import os
import random  # noqa: TID251 - the seed comes in as an argument
import shutil
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pytest
import rfc8785

from fieldapp.base.load_test import read_load_test
from fieldapp.desk.papers.verifying import read_paper, verify_file
from fieldapp.desk.pictures.reading import check_kept_picture, read_file, ready_picture
from fieldapp.desk.projects.presets import preset
from fieldapp.desk.reckoning.reckon import reckon
from fieldapp.desk.travel.looking import look_into
from fieldapp.desk.travel.tables import begin_with_journal_file
from fieldapp.desk.travel.verifying import verify_bundle
from fieldapp.desk.typed_logs import begin_with_logs, read_logs
from fieldapp.exchange.load_test_file import read_load_test_file
from fieldapp.exchange.plain_log import load_plain_log
from fieldapp.exchange.reckoning_file import read_reckoning
from fieldapp.identity.elsewhere import read_any
from fieldapp.record.chain import chains_of
from fieldapp.record.entry import DamagedEntry, hash_of, open_sealed
from fieldapp.store.problems import Damaged
from tests.desk.travel.forging import as_the_device
from tests.desk.travel.tablets import Tablet
from tests.poison.command_line import Words, said_by
from tests.poison.good_files import SAMPLES, certificates, pictures, small_papers
from tests.poison.mutations import mutated, mutated_value

if TYPE_CHECKING:
    pass

WORDS: Final = tuple(
    each.encode()
    for each in [
        "ft-in",
        "in",
        "mm",
        "pcf",
        "psi",
        "wet",
        "mineral",
        "base",
        "unit",
        "read",
        "inf",
        "shaft",
        "units",
        "US",
        "amends",
        "strikes",
        "P1-1",
        "sounding round",
        "  point 1",
        "excavation stage",
        "23:59",
        "day 2026-02-30",
        "[[base]]",
        "project",
        "61' 4 1/2\"",
        "9' 12\"",
        "obj",
        "endobj",
        "stream",
        "/Kids",
        "trailer",
        "/ByteRange",
        "startxref 0",
        "confirmed",
    ]
)


@dataclass
class Site:
    """Two tablets, and a room in which files are read; all of it is made once for many cases."""

    root: Path
    patch: pytest.MonkeyPatch
    one: Tablet = field(init=False)

    def __post_init__(self) -> None:
        self.one = Tablet(self.root, 1, self.patch)
        self.one.begins()
        self.room.mkdir()

    @property
    def room(self) -> Path:
        return self.root / "room"

    @cached_property
    def two(self) -> Tablet:
        made = Tablet(self.root, 2, self.patch)
        made.takes(self.bundle)
        return made

    @cached_property
    def bundle(self) -> Path:
        return self.one.sends("first").path

    @cached_property
    def chains(self) -> list[list[bytes]]:
        return [[each.sealed for each in chain] for chain in chains_of(self.one.entries()).values()]

    def seen(self) -> dict[str, int]:
        """Every file of the room and its size; what a database keeps beside itself does not count."""
        files = (each for each in self.room.rglob("*") if not each.name.endswith(("-wal", "-shm", ".lock")))
        return {str(each.relative_to(self.room)): each.stat().st_size for each in files if each.is_file()}


Make = Callable[[Site, random.Random], bytes]
Read = Callable[[Site, Path], object]


@dataclass(frozen=True)
class Reader:
    """``file`` names what it gets, ``share`` is its part of a long run, ``most_s`` what it may take."""

    file: str
    share: int
    make: Make
    read: Read
    most_s: float = 2.0


def of_seeds(seeds: Callable[[Site], Sequence[bytes]], words: Sequence[bytes] = WORDS) -> Make:
    """Good files with bytes and words of them made wrong."""

    def make(site: Site, rng: random.Random) -> bytes:
        good = seeds(site)
        return mutated(rng, rng.choice(good), words, good)

    return make


def samples(pattern: str) -> Callable[[Site], Sequence[bytes]]:
    found = [each.read_bytes() for each in sorted(SAMPLES.glob(pattern))]
    return lambda _site: found


def resealed(site: Site, rng: random.Random) -> bytes:
    """A whole journal in which one entry says something else, with every hash after it right again."""
    lines: list[bytes] = []
    chains = [list(chain) for chain in site.chains]
    chosen = rng.choice([each for each in chains if each])
    place = rng.randrange(len(chosen))
    chosen[place] = _other(chosen[place], rng)
    for chain in chains:
        before = ""
        for number, was in enumerate(chain):
            sealed = _after(was, before) if chain is chosen and number > place else was
            before = hash_of(sealed)
            lines.append(sealed)
    return b"".join(each + b"\n" for each in lines)


def _other(sealed: bytes, rng: random.Random) -> bytes:
    body = json.loads(sealed)
    part = rng.choice(("values", "values", "values", "")) if body["values"] else ""
    changed: Any = mutated_value(rng, body[part] if part else body)
    return _canonical({**body, part: changed} if part else changed)


def _after(sealed: bytes, before: str) -> bytes:
    return _canonical({**json.loads(sealed), "prev": before})


def _canonical(body: Mapping[str, Any]) -> bytes:
    try:
        return rfc8785.dumps(dict(body))
    except ValueError:
        return json.dumps(body).encode("utf-8", "surrogatepass")


def in_a_signed_bundle(site: Site, rng: random.Random) -> bytes:
    """A bundle that the device itself signed, whose entries say something else."""
    assert site.bundle  # the first one signs the chain, for which the device makes its key
    forger = as_the_device(site.one)
    forger.lines = [each for each in resealed(site, rng).splitlines() if each]
    return forger.packs("poisoned").read_bytes()


def one_entry(site: Site, rng: random.Random) -> bytes:
    sealed = rng.choice(rng.choice([each for each in site.chains if each]))
    return _other(sealed, rng) if rng.random() < 0.5 else mutated(rng, sealed, WORDS)


def _add_log(site: Site, path: Path) -> None:
    """Into a new project, behind the good set-up."""
    setup = path.with_name("project.log")
    setup.write_bytes((SAMPLES / "larkwater" / "project.log").read_bytes())
    try:
        begin_with_logs(site.room / "new", read_logs([setup, path]))
    finally:
        setup.unlink()
        shutil.rmtree(site.room / "new", ignore_errors=True)  # logs before the bad one stay added


def _open_entry(_site: Site, path: Path) -> None:
    """Who calls it says which journal is damaged."""
    try:
        open_sealed(path.read_bytes())
    except DamagedEntry as problem:
        raise Damaged(folder=path, why=problem) from problem


def _read_settings(_site: Site, path: Path) -> None:
    os.environ.setdefault("KIVY_NO_ARGS", "1")
    from fieldapp.ui.settings import read_settings

    read_settings(path)


def _take_journal(site: Site, path: Path) -> None:
    begin_with_journal_file(site.room / "new", path)


def _take_bundle(site: Site, path: Path) -> None:
    before = site.two.as_it_is()
    try:
        site.two.takes(path)
    except BaseException:
        assert site.two.as_it_is() == before, "a refused bundle changed the project"
        raise


def _run_words(site: Site, path: Path) -> None:
    before = site.one.as_it_is()
    try:
        said_by(path)
    except BaseException:
        assert site.one.as_it_is() == before, "a refused command changed the project"
        raise


def _read_load_test(_site: Site, path: Path) -> None:
    read_load_test(read_load_test_file(path.read_text("utf-8", "replace"), path.name))


def _read_what_if(_site: Site, path: Path) -> None:
    read_reckoning(path.read_bytes(), path.name, preset)


def _ready_picture(_site: Site, path: Path) -> None:
    ready_picture(read_file(path), "UTC", path.name)


LOGS: Final = of_seeds(samples("larkwater/*.log"))
WHAT_IFS: Final = of_seeds(samples("reckon/*.toml"))
PICTURES: Final = of_seeds(lambda _: pictures())
BUNDLES: Final = of_seeds(lambda site: [site.bundle.read_bytes()])
JOURNALS: Final = of_seeds(lambda site: [b"".join(each + b"\n" for chain in site.chains for each in chain)])
SETTINGS: Final = of_seeds(lambda _: [b'{"language": "es", "scheme": "night", "text_scale": 1.5}'])
READERS: Final[dict[str, Reader]] = {
    "plain log": Reader("P1-1.log", 300, LOGS, lambda _, path: load_plain_log(path)),
    "plain log added": Reader("P1-1.log", 30, LOGS, _add_log),
    "load test": Reader("curve.csv", 150, of_seeds(samples("larkwater/*.csv")), _read_load_test),
    "what-if": Reader("what-if.toml", 100, WHAT_IFS, _read_what_if),
    # the answer is no reading: a good file takes a second or two
    "what-if answered": Reader("what-if.toml", 3, WHAT_IFS, lambda _, path: reckon(path), most_s=10.0),
    "one entry": Reader("entry", 180, one_entry, _open_entry),
    "journal, bytes": Reader("journal.jsonl", 20, JOURNALS, _take_journal),
    "journal, resealed": Reader("journal.jsonl", 40, resealed, _take_journal),
    "bundle, bytes": Reader("b.bundle.zip", 30, BUNDLES, _take_bundle),
    "bundle, looked into": Reader("b.bundle.zip", 30, BUNDLES, lambda _, path: look_into(path)),
    "bundle, signed": Reader("b.bundle.zip", 20, in_a_signed_bundle, _take_bundle),
    "bundle, verified": Reader("b.bundle.zip", 10, in_a_signed_bundle, lambda _, path: verify_bundle(path)),
    "picture": Reader("base.jpg", 50, PICTURES, _ready_picture),
    "kept picture": Reader("base.jpg", 20, PICTURES, lambda _, path: check_kept_picture(path.read_bytes())),
    "paper": Reader(
        "log.pdf",
        40,
        of_seeds(lambda site: small_papers(site.one)),
        lambda _, path: verify_file(read_paper(path)),
    ),
    "certificate": Reader(
        "own.pem",
        40,
        of_seeds(lambda _: certificates()),
        lambda _, path: read_any(path.read_text("utf-8", "replace")),
    ),
    "settings of the tablet": Reader("tablet.json", 20, SETTINGS, _read_settings),
    "command line": Reader(
        "words.json",
        30,
        lambda site, rng: Words(site.one.folder, site.room).choose(rng),
        _run_words,
    ),
}
