"""The lines of a plain log into blocks: header lines, titles with a time, and the lines under them.

Refuses what is too large or cannot be placed, line by line; the words of a block are read elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Final
from zoneinfo import ZoneInfo

from fieldapp.exchange.plain_fields import FieldLine
from fieldapp.exchange.plain_problem import Faults
from fieldapp.exchange.plain_times import TIME, Ground, read_day, read_moment, read_zone
from fieldapp.exchange.plain_words import one_of
from fieldapp.record.entry import check_name
from fieldapp.record.kinds import TYPED_KINDS
from fieldapp.record.reading import Impossible, check_text

MOST_BYTES: Final = 2_000_000
MOST_IN_LINE: Final = 500
MOST_ENTRIES: Final = 5000
MOST_LINES_OF_ENTRY: Final = 300
_BREAK: Final = re.compile(r"\r\n|\r|\n")
_LABEL: Final = re.compile(r"(?<!\S)#(\S+)")
_PLAIN_LABEL: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,39}")
_TITLE: Final = re.compile(rf"(?P<time>{TIME.pattern})(?:\s+(?P<title>.*))?")
_HEADERS: Final = ("project", "device", "author", "zone", "day", "shaft")
_REFER: Final = frozenset({"amend", "strike"})


@dataclass(frozen=True, slots=True)
class Heading:
    """The header lines in force; None where there is none yet."""

    project: str | None = None
    device: str | None = None
    author: str | None = None
    zone: ZoneInfo | None = None
    day: date | None = None
    shaft: str | None = None

    @property
    def ground(self) -> Ground | None:
        """Day and zone, or None while one is missing."""
        return Ground(self.day, self.zone) if self.day and self.zone else None


@dataclass(frozen=True, slots=True)
class Block:
    """One entry as typed: its place, the heading it stands under, its title, the lines below it."""

    line: int
    heading: Heading
    ground: Ground
    at: datetime
    kind: str
    shaft: str | None
    label: str
    target: str
    lines: tuple[FieldLine, ...] = ()


def blocks_of(text: str, faults: Faults) -> tuple[Heading, list[Block]]:
    """The last heading and all blocks of a log; what cannot be placed becomes a fault."""
    heading, known_missing = Heading(), set[str]()
    begun: list[tuple[Block, list[FieldLine]]] = []
    under: list[FieldLine] | None = None
    for number, line in _lines(text, faults):
        if line[0] in " \t":
            _put_under(under, number, line.strip(), faults)
            continue
        under = None
        if not line[0].isdigit():
            heading = _with_header(heading, number, line, faults)
            continue
        under = []
        known_missing |= _missing(heading, known_missing, number, faults)
        block = _block(heading, number, line, faults)
        if block is not None:
            begun.append((block, under))
        if len(begun) > MOST_ENTRIES:
            faults.add(number, "entries", "more", f"at most {MOST_ENTRIES} entries in a file; split it")
            return heading, []
    return heading, [replace(block, lines=tuple(lines)) for block, lines in begun]


def lines_of(text: str) -> list[str]:
    """The lines of a file, however they end."""
    return _BREAK.split(text)


def check_is_log(text: str, faults: Faults) -> None:
    """Refuse a file without any line that a log has, once for all its lines.  Raises PlainLogRefused."""
    lines = [(number, each) for number, each in enumerate(lines_of(text[:MOST_BYTES]), 1) if _is_said(each)]
    if not lines or any(_begins_a_log(each) for _, each in lines):
        return
    number, first = lines[0]
    read = first.strip() if first.isprintable() else ascii(first.strip())
    faults.add(number, "file", read, "a plain log, which begins with a line such as 'project   larkwater'")
    faults.refuse_if_any()


def _is_said(line: str) -> bool:
    return bool(line.strip()) and not line.lstrip().startswith("#")


def _begins_a_log(line: str) -> bool:
    name = line.split(maxsplit=1)[0].lower().rstrip(":")
    return name in _HEADERS or _TITLE.fullmatch(line.strip()) is not None


def _put_under(under: list[FieldLine] | None, number: int, text: str, faults: Faults) -> None:
    if under is None:
        faults.add(number, "line", text, "an entry above it, such as '07:40  note'")
    elif len(under) == MOST_LINES_OF_ENTRY:
        faults.add(number, "line", text, f"at most {MOST_LINES_OF_ENTRY} lines under an entry")
    else:
        under.append(FieldLine(number, text))


def _lines(text: str, faults: Faults) -> Iterator[tuple[int, str]]:
    if len(text.encode("utf-8", "surrogatepass")) > MOST_BYTES:
        faults.add(0, "size", f"{len(text)} characters", f"at most {MOST_BYTES // 1_000_000} MB in a file")
        return
    for number, line in enumerate(lines_of(text.removeprefix("\N{ZERO WIDTH NO-BREAK SPACE}")), 1):
        if not _is_said(line):
            continue
        if len(line) > MOST_IN_LINE:
            faults.add(number, "line", line, f"at most {MOST_IN_LINE} characters, here are {len(line)}")
        elif not line.replace("\t", " ").isprintable():
            faults.add(number, "line", ascii(line), "plain text without control characters")
        else:
            yield number, line.rstrip()


def _with_header(heading: Heading, number: int, line: str, faults: Faults) -> Heading:
    name, *rest = line.split(maxsplit=1)
    name = name.lower().rstrip(":")
    value = rest[0].strip() if rest else ""
    if name not in _HEADERS:
        expected = f"an entry that begins with its time, like 07:40, or one of {one_of(name, _HEADERS)}"
        faults.add(number, "line", line, expected)
        return heading
    try:
        return _changed(heading, name, value)
    except Impossible as problem:
        faults.take(number, problem)
        return heading


def _changed(heading: Heading, name: str, value: str) -> Heading:
    if name == "zone":
        return replace(heading, zone=read_zone(value))
    if name == "day":
        return replace(heading, day=read_day(value))
    if name == "author":
        check_text("author", value, 120)
        return replace(heading, author=value)
    check_name(name, value)
    if name == "project" and heading.project not in {None, value}:
        raise Impossible("project", value, f"'{heading.project}' as above: one project in a file")
    return replace(heading, **{name: value})  # type: ignore[arg-type]  # project, device and shaft are text


def _missing(heading: Heading, known: set[str], number: int, faults: Faults) -> set[str]:
    missing = {n for n in _HEADERS[:-1] if getattr(heading, n) is None} - known
    for name in sorted(missing):
        faults.add(number, name, "nothing", f"a line '{name}  ...' above the first entry")
    return missing


def _block(heading: Heading, number: int, line: str, faults: Faults) -> Block | None:
    found, ground = _TITLE.fullmatch(line), heading.ground
    if found is None:
        faults.add(number, "time", line.split(maxsplit=1)[0], "a time like 07:40 and then the kind of entry")
        return None
    title = found["title"] or ""
    try:
        kind, shaft = _kind_and_shaft(_LABEL.sub("", title).strip())
        target, label = _labels(kind, _LABEL.findall(title))
        at = read_moment("time", found["time"], ground) if ground else None
    except Impossible as problem:
        faults.take(number, problem)
        return None
    if ground is None or at is None:
        return None
    return Block(number, heading, ground, at, kind, shaft or heading.shaft, label, target)


def _kind_and_shaft(title: str) -> tuple[str, str | None]:
    words = title.split()
    for count in range(len(words), 0, -1):
        kind, before = " ".join(words[-count:]).lower(), words[:-count]
        if kind not in TYPED_KINDS:
            continue
        if not before:
            return kind, None
        if before[0].lower() == "shaft" and len(before) > 1:
            check_name("shaft", " ".join(before[1:]))
            return kind, " ".join(before[1:])
    raise Impossible("kind", title or "nothing", f"one of {one_of(title, TYPED_KINDS)}")


def _labels(kind: str, labels: list[str]) -> tuple[str, str]:
    for label in labels:
        if not _PLAIN_LABEL.fullmatch(label):
            raise Impossible("label", f"#{label}", "letters and digits, like #r1")
    if kind in _REFER and not labels:
        raise Impossible(kind, "nothing", f"the label of the entry meant, like '{kind} #r1'")
    if len(labels) > 1:
        raise Impossible("label", f"#{labels[1]}", "one label in a line")
    label = "".join(labels)
    return (label, "") if kind in _REFER else ("", label)
