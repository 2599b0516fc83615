"""Plain logs into a project: each file whole or not at all, each entry once however often it is added.

What a person cannot type is completed here: the acceptance set behind its name, and the journal
positions and record digest that a decision rests on.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from fieldapp.criteria.basis import basis_on
from fieldapp.desk.projects.growing import growing_project
from fieldapp.desk.projects.presets import preset
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.plain_difference import differences
from fieldapp.exchange.plain_entry import PlainDecision, PlainEntry, PlainLog
from fieldapp.exchange.plain_log import load_plain_log
from fieldapp.exchange.plain_problem import PlainLogRefused, PlainProblem
from fieldapp.exchange.plain_setup import PlainSetup
from fieldapp.record.decisions import Basis
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.reading import Impossible
from fieldapp.record.shaft import with_entry
from fieldapp.store.pictures import pictures_named_in, save_picture
from fieldapp.store.problems import in_plain_words


@dataclass(frozen=True, slots=True)
class Added:
    """What came of one file: how many entries are new, and how many were in the journal already."""

    file: str
    new: int
    known: int


@dataclass(frozen=True, slots=True)
class TypedLog:
    """A plain log as it was read, and the folder in which the files that it attaches lie beside it."""

    log: PlainLog
    folder: Path

    def attached(self) -> dict[str, Path]:
        """The files beside the log, by their SHA-256.  Raises StoreProblem."""
        with in_plain_words(self.folder):
            beside = [each for each in sorted(self.folder.iterdir()) if each.suffix != ".log"]
            return {hashlib.sha256(each.read_bytes()).hexdigest(): each for each in beside if each.is_file()}


def read_logs(files: Sequence[Path]) -> list[TypedLog]:
    """Plain logs in the order in which they are added: project files first, then by name.

    Raises PlainLogRefused with every problem of the first file that cannot be read.
    """
    in_turn = sorted(files, key=lambda each: (each.stem != "project", each.name))
    return [TypedLog(load_plain_log(each), each.parent) for each in in_turn]


def add_logs(
    place: Workplace, logs: Sequence[TypedLog], progress: Callable[[str], None] = lambda _: None
) -> tuple[Added, ...]:
    """Add plain logs in their order, each whole or not at all.

    Raises PlainLogRefused with every problem of the first log that the record speaks against.  Nothing of
    that log is written; logs before it stay added.
    """
    done = []
    for each in logs:
        progress(f"adding {each.log.name}")
        done.append(_add(place, each))
    return tuple(done)


def begin_with_logs(
    folder: Path, logs: Sequence[TypedLog], progress: Callable[[str], None] = lambda _: None
) -> tuple[Added, ...]:
    """Add plain logs to a project, or make a new one of them; a new one appears only when all are in.

    Raises as `add_logs`, and StoreProblem.
    """
    with growing_project(folder) as place:
        return add_logs(place, logs, progress)


def _add(place: Workplace, typed: TypedLog) -> Added:
    log = typed.log
    if place.project_id and log.project != place.project_id:
        raise PlainLogRefused((PlainProblem(log.name, 1, "project", log.project, place.project_id),))
    work = _Working(place, log)
    for each in log.entries:
        work.take(each)
    files = _files_of(work, typed)
    if work.problems:
        raise PlainLogRefused(tuple(work.problems))
    for path in files:
        with in_plain_words(path):
            content = path.read_bytes()
        save_picture(place.folder, content, path.suffix.lower())
    place.append_runs(work.drafts_by_device())
    return Added(log.name, len(work.drafts), work.known)


def _files_of(work: _Working, typed: TypedLog) -> list[Path]:
    """The files that the new entries attach; one that is not beside the log is a problem."""
    wanted = {digest: draft for _, draft in work.drafts for digest in pictures_named_in(draft.values)}
    if not wanted:
        return []
    beside = typed.attached()
    for digest, draft in wanted.items():
        if digest not in beside:
            line = next(each.line for each in typed.log.entries if each.id == draft.id)
            said = "the SHA-256 of a file that lies beside the log"
            work.problems.append(PlainProblem(typed.log.name, line, "attached", digest, said))
    return [beside[digest] for digest in wanted if digest in beside]


class _Working:
    """One file on its way into the journal: entries are sealed in memory first, to see them in context."""

    def __init__(self, place: Workplace, log: PlainLog) -> None:
        self.place = place
        self.file = log.name
        self.project = log.project
        self.new: dict[str, Entry] = {}
        self.record = place.record()
        self.heads = place.heads()
        self.stamp = place.writer().highest_stamp()
        self.drafts: list[tuple[str, Draft]] = []
        self.problems: list[PlainProblem] = []
        self.known = 0

    def take(self, plain: PlainEntry) -> None:
        try:
            draft = plain.draft(self.project, self._values(plain))
        except Impossible as problem:
            field = problem.field_name.replace("_", " ")
            self._problem(plain, field, problem.read, problem.expected)
            return
        earlier = self.new.get(draft.id) or self.place.entry(draft.id)
        if earlier is not None:
            self._take_known(plain, draft, earlier)
            return
        found = [
            each
            for each in objections(self.record, draft)
            if each.impossible or each.code not in draft.confirmed
        ]
        for each in found:
            sure = (
                "" if each.impossible else f" ({each.says} If it is right, write 'confirmed  {each.code}'.)"
            )
            self._problem(plain, each.field.replace("_", " "), each.read, each.expected + sure)
        if not any(each.impossible for each in found):
            self._place(plain.device, draft)

    def _take_known(self, plain: PlainEntry, draft: Draft, earlier: Entry) -> None:
        same = earlier.draft
        if isinstance(plain.says, PlainDecision):
            same = replace(same, values=draft.values, parents=draft.parents)
        do = "as the journal has it; what was wrong is changed by an amend block that says why"
        if earlier.device != plain.device:
            self._problem(plain, "device", plain.device, f"{earlier.device}, {do}")
            return
        for each in differences(same, draft):
            line = plain.line_of(each.place)
            self.problems.append(
                PlainProblem(self.file, line, each.field, each.in_file, f"{each.in_journal}, {do}")
            )
        if same != draft:
            return
        self.known += 1

    def _values(self, plain: PlainEntry) -> Values:
        if isinstance(plain.says, PlainSetup):
            return plain.says.settled(preset(plain.says.acceptance), plain.author)
        if isinstance(plain.says, PlainDecision):
            return plain.says.settled(self._basis(plain.shaft))
        return plain.says

    def _basis(self, shaft: str | None) -> Basis:
        mine = self.record if shaft is None else self.record.shaft(shaft)
        return basis_on(self.heads, mine.entries if mine is not None else ())

    def _place(self, device: str, draft: Draft) -> None:
        self.stamp += 1
        entry = seal(draft, self.heads.get(device, ChainHead(device)), self.stamp)
        self.heads[device] = ChainHead(device, entry.seq, entry.hash)
        self.new[entry.id] = entry
        self.record = with_entry(self.record, entry)
        self.drafts.append((device, draft))

    def _problem(self, plain: PlainEntry, field: str, read: str, expected: str) -> None:
        self.problems.append(PlainProblem(self.file, plain.line_of(field), field, read, expected))

    def drafts_by_device(self) -> list[tuple[str, list[Draft]]]:
        """Drafts in their order, in runs of one device, so that every stamp falls as it was seen here."""
        runs: list[tuple[str, list[Draft]]] = []
        for device, draft in self.drafts:
            if not runs or runs[-1][0] != device:
                runs.append((device, []))
            runs[-1][1].append(draft)
        return runs
