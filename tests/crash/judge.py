"""What must hold of a project whatever happened to it, and what of it was acknowledged.

Everything is asked of the real desk, as the next opening of the app asks it.  What does not hold is told in
sentences; none means that nothing was lost and nothing is half.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

from pypdf import PdfReader

from fieldapp.desk.board import board
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project
from fieldapp.desk.projects.known import half_typed, known_projects
from fieldapp.desk.settings import read_settings
from fieldapp.desk.travel.looking import look_into
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.trust.key_time import key_minutes
from fieldapp.desk.trust.unlocking import key_file
from fieldapp.desk.workplace import read_project
from fieldapp.identity.keys import unlock
from fieldapp.record.chain import breaks_in
from fieldapp.record.hole import Note
from fieldapp.store.opening import reading
from fieldapp.store.pictures import holds_picture, picture_path
from fieldapp.store.problems import StoreProblem
from tests.crash.ground import SHAFT, Ground
from tests.crash.jobs import FORM
from tests.desk.signed_work import INSPECTOR

Told: TypeAlias = Sequence[tuple[str, str]]
"""What was said to be safe: kind and which one, in the order in which it was said."""
GOES_ON: Final = "went on"
"""The kind of what is recorded when the trouble is over, in the project that stayed open."""


@dataclass(frozen=True)
class Judged:
    """How much was acknowledged, what of it is lost, and what else does not hold."""

    acknowledged: int
    lost: tuple[str, ...]
    faults: tuple[str, ...]

    @property
    def holds(self) -> bool:
        """Whether nothing is lost and nothing is wrong."""
        return not self.lost and not self.faults


def judge(ground: Ground, told: Told, before: frozenset[str] = frozenset(), whole: int = 1) -> Judged:
    """Open the project again, go on with it, audit it, and hold it against what was acknowledged.

    ``before`` are the entries that it had; what came since comes in pieces of ``whole``.
    """
    ground.stand_here()
    ground.clock.in_another_process()
    faults = list(_half_files(ground))
    try:
        now = _opened(ground, faults)
    except StoreProblem as problem:
        return Judged(len(told), (), (*faults, f"the project does not open: {problem}"))
    new = now - before
    if before and len(new) % whole:
        faults.append(f"{len(new)} entries came of a piece of {whole}")
    faults += _leftovers(ground)
    faults += [f"check: {each.what}: {each.detail}" for each in audit(ground.project) if not each.ok]
    return Judged(len(told), tuple(_lost(ground, told, now | before, before - now)), tuple(faults))


def what_is_lost(ground: Ground, told: Told) -> tuple[str, ...]:
    """Only what was acknowledged and is not there, without an audit."""
    ground.stand_here()
    return tuple(_lost(ground, told, entry_ids(ground.project), ()))


def entry_ids(project: Path) -> frozenset[str]:
    """The entries of a project, by a reader."""
    with read_project(project) as place:
        return frozenset(each.id for each in place.entries())


def _opened(ground: Ground, faults: list[str]) -> frozenset[str]:
    """Open it as the app does, go on with the work, and say what was there."""
    with ground.at_work() as place:
        entries = tuple(place.entries())
        if breaks := breaks_in(entries):
            faults.append(f"the chain is broken: {breaks[0]}")
        if len({each.id for each in entries}) != len(entries):
            faults.append("an entry is there twice")
        again = record_entry(place, Saying(SHAFT, Note("after it"), INSPECTOR))
    row = next((each for each in board(ground.project).rows if each.shaft == SHAFT), None)
    if row is None or not row.standing or not row.next_step:
        faults.append("the board does not say where the shaft stands")
    if again.id not in entry_ids(ground.project):
        faults.append("what was recorded afterwards is not there")
    return frozenset(each.id for each in entries)


def _half_files(ground: Ground) -> Iterator[str]:
    """Every file that stands under its own name is whole, before anybody tidies up."""
    for project in _projects(ground):
        for path in (project / "pictures").glob("[!.]*"):
            if hashlib.sha256(path.read_bytes()).hexdigest() != path.stem:
                yield f"half a picture: {path.name}, {path.stat().st_size} bytes"
        for path in (project / "reports").glob("[!.]*"):
            if why := _not_whole(path):
                yield f"half a PDF: {path.name}, {why}"
    for path in (each for each in ground.root.glob("[!.]*.bundle.zip") if each.is_file()):
        if why := _refused(path):
            yield f"half a bundle: {path.name}, {why}"


def _projects(ground: Ground) -> Iterator[Path]:
    return (each.parent for each in ground.root.glob("[!.]*/journal.db"))


def _not_whole(path: Path) -> str:
    content = path.read_bytes()
    if not content.rstrip().endswith(b"%%EOF"):
        return "cut off"
    try:
        pages = len(PdfReader(path, strict=True).pages)
    except Exception as problem:  # noqa: BLE001 - whatever its parser says of it, it is not whole
        return str(problem)
    return "" if pages else "without pages"


def _refused(path: Path) -> str:
    try:
        look_into(path)
    except Exception as problem:  # noqa: BLE001 - whatever it is
        return str(problem)
    return ""


def _leftovers(ground: Ground) -> Iterator[str]:
    """Nothing hidden or half written is left in the project once it was opened.

    What this very process could not take away is left to the next one.
    """
    for path in sorted(ground.project.rglob("*")):
        if f".{os.getpid()}" in path.name:
            continue
        if path.name.startswith(".") or path.name.endswith((".part", ".new")):
            yield f"left over in the project: {path.relative_to(ground.project)}"


def _lost(ground: Ground, told: Told, here: frozenset[str], gone: Iterable[str]) -> Iterator[str]:
    yield from (f"entry {each}, which was there before" for each in gone)
    last = dict(told)
    for kind, what in told:
        if kind in _STAYS:
            kept = _STAYS[kind](ground, what, here)
        else:
            kept = last[kind] != what or _LATEST[kind](ground, what, here)
        if not kept:
            yield f"{kind} {what}"


def _sound(folder: Path) -> bool:
    return folder.is_dir() and all(each.ok for each in audit(folder))


def _form_or_its_end(ground: Ground, text: str, here: frozenset[str]) -> bool:
    """A form is there until the entry is that ends it."""
    number = text.split()[1].strip(",")
    with read_project(ground.project) as place:
        if any(each.key == FORM and text in each.body for each in place.journal.forms()):
            return True
        notes = (each.values for each in place.entries() if isinstance(each.values, Note))
        return bool(here) and any(each.text.startswith(f"note {number} is long") for each in notes)


def _entries_reach(ground: Ground, count: str, _here: frozenset[str]) -> bool:
    with reading(ground.project) as connection:
        return bool(connection.execute("SELECT count(*) FROM entries").fetchone()[0] >= int(count))


def _picture(ground: Ground, digest: str, _here: frozenset[str]) -> bool:
    path = picture_path(ground.project, digest)
    return path is not None and holds_picture(path, digest)


def _opens(ground: Ground, passphrase: str, _here: frozenset[str]) -> bool:
    with read_project(ground.project) as place:
        key = unlock(key_file(place, INSPECTOR).read_bytes(), passphrase)
    return key.certificate.name == INSPECTOR


Kept: TypeAlias = Callable[[Ground, str, frozenset[str]], bool]
_STAYS: Final[dict[str, Kept]] = {
    "entry": lambda _ground, what, here: what in here,
    GOES_ON: lambda _ground, what, here: what in here,
    "picture": _picture,
    "paper": lambda _ground, what, _here: Path(what).exists() and not _not_whole(Path(what)),
    "bundle": lambda _ground, what, _here: not _refused(Path(what)),
    "backup": lambda _ground, what, _here: _sound(Path(what)),
    "project": lambda _ground, what, _here: _sound(Path(what)),
    "empty": lambda _ground, what, _here: not begin_project(Path(what)),
    "open": _entries_reach,
}
"""Whether a thing that was called safe is there, by its kind."""
_LATEST: Final[dict[str, Kept]] = {
    "form": _form_or_its_end,
    "key": _opens,
    "server": lambda _ground, what, _here: read_settings().timestamp_server == what,
    "minutes": lambda _ground, what, _here: key_minutes() == int(what),
    "known": lambda _ground, what, _here: any(each.known.folder == what for each in known_projects()),
    "half typed": lambda _ground, what, _here: half_typed().get("name") == what,
}
"""The same for what is written over: the last one counts."""
