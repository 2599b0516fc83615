"""What a paper says of its record, as plain data that is attached to it: to be worked out anew and compared.

`printed_facts` takes the same facts as the pages do, so it is asked of a project folder or, by
`fieldapp.desk.papers.attached`, of the journal inside the paper alone.  Numbers stand as text of six
significant digits, times in UTC, so that another machine gives the same bytes.  What is read is bounded and
canonical; anything else is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass, fields
from datetime import UTC, datetime
from typing import Any, Final, TypeVar

import rfc8785

from fieldapp.base.credit_facts import CreditAt
from fieldapp.criteria.finding import BaseStanding, Finding, ReleaseState
from fieldapp.record.codec import read_time
from fieldapp.record.decisions import Disposition
from fieldapp.record.fold import Line
from fieldapp.record.said import said, said_of
from fieldapp.record.strict_json import NewerFormat, read_format, written_one_way
from fieldapp.record.words import PaperKind
from reports.facts import ShaftFacts
from reports.layout import layout_version

PRINTED_NAME: Final = "printed.json"
FORMAT: Final = "basenote printed facts"
VERSION: Final = 1
LARGEST_BYTES: Final = 4 * 2**20
MOST_ROWS: Final = 1000
_NUMBER: Final = re.compile(r"-?\d(\.\d{1,5})?(e[+-]\d{2,3})?|-?\d{1,6}(\.\d{1,9})?")
_TEXTS: Final = "tuple[str, ...]"
_FIELDS: Final = {VERSION: frozenset({
    "format", "version", "paper", "layout", "moment", "printed_at", "printed_by", "project", "shaft",
    "record_digest", "findings", "standing", "release", "credits", "stated",
})}  # fmt: skip


class UnreadablePrinted(ValueError):
    """Printed facts that are not whole; the text says what is wrong, as part of a sentence."""


class NewerPrinted(ValueError):
    """Printed facts of a newer program, which cannot be read here and may be whole."""


@dataclass(frozen=True, slots=True)
class PrintedFinding:
    """One requirement as it stands on the paper."""

    requirement: str
    outcome: str
    says: str
    measured: str
    limit: str


@dataclass(frozen=True, slots=True)
class PrintedStanding:
    """The base standing, its reasons in order of weight, and the next step."""

    standing: str
    reasons: tuple[str, ...]
    next_step: str


@dataclass(frozen=True, slots=True)
class PrintedRelease:
    """The decision on concrete; ``until`` in UTC, empty where it has none."""

    status: str
    until: str
    reason: str
    conditions: str
    author: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PrintedCredit:
    """Credit at one base displacement [m]; ``name`` is service or strength."""

    name: str
    displacement_m: str
    credit: str
    least: str
    greatest: str
    lowest: str


@dataclass(frozen=True, slots=True)
class PrintedDisposition:
    """The designer's decision as stated; ``credit`` and ``displacement`` as they were read."""

    decision: str
    credit: str
    displacement: str
    why: str
    author: str
    observed_at: str


@dataclass(frozen=True, slots=True)
class PrintedFacts:
    """Everything that a paper says of its record.

    ``moment`` is what findings and release are of.  ``printed_at`` and ``printed_by`` stand on the pages and
    not in the record: with them and the journal the pages can be laid out again.
    """

    paper: PaperKind
    layout: str
    moment: datetime
    printed_at: datetime
    printed_by: str
    project: str
    shaft: str
    record_digest: str
    findings: tuple[PrintedFinding, ...]
    standing: PrintedStanding
    release: PrintedRelease
    credits: tuple[PrintedCredit, ...]
    stated: PrintedDisposition | None


def printed_facts(facts: ShaftFacts, kind: PaperKind) -> PrintedFacts:
    """What a paper of this kind says, out of the facts that its pages are made of."""
    return PrintedFacts(
        paper=kind,
        layout=layout_version(),
        moment=facts.at.astimezone(UTC),
        printed_at=facts.printed_at.astimezone(UTC),
        printed_by=facts.printed_by,
        project=facts.project_id,
        shaft=facts.record.id,
        record_digest=facts.record_digest,
        findings=tuple(_finding(each) for each in facts.findings),
        standing=_standing(facts.standing),
        release=_release(facts.release),
        credits=tuple(_credits(facts)),
        stated=None if facts.stated is None else _stated(facts.stated),
    )


def _finding(found: Finding) -> PrintedFinding:
    return PrintedFinding(
        found.requirement, str(found.outcome), str(found.says), str(found.measured), str(found.limit)
    )


def _standing(standing: BaseStanding) -> PrintedStanding:
    reasons = tuple(str(each.says) for each in standing.reasons)
    return PrintedStanding(str(standing.standing), reasons, str(standing.next_step.says))


def _release(release: ReleaseState) -> PrintedRelease:
    return PrintedRelease(
        status=str(release.status),
        until=_utc(release.until) if release.until else "",
        reason=str(release.reason),
        conditions=str(release.conditions),
        author=str(release.author),
        remarks=tuple(map(str, release.remarks)),
    )


def _credits(facts: ShaftFacts) -> Iterator[PrintedCredit]:
    credit = facts.worth.credit if facts.worth is not None else None
    if credit is not None:
        yield _credit("service", credit.service)
        yield _credit("strength", credit.strength)


def _credit(name: str, at: CreditAt) -> PrintedCredit:
    numbers = (at.displacement_m, at.credit, at.least.credit, at.greatest.credit, at.lowest)
    return PrintedCredit(name, *(f"{each:.6g}" for each in numbers))


def _stated(line: Line[Disposition]) -> PrintedDisposition:
    values = line.values
    return PrintedDisposition(
        decision=str(values.decision),
        credit=str(values.credit or ""),
        displacement=str(values.displacement or ""),
        why=values.why,
        author=line.original.draft.author,
        observed_at=_utc(line.observed_at),
    )


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat()


def written_facts(printed: PrintedFacts) -> bytes:
    """The bytes to attach: canonical JSON (RFC 8785), the same for the same facts."""
    body: dict[str, Any] = {"format": FORMAT, "version": VERSION, **asdict(printed)}
    for name in ("moment", "printed_at"):
        body[name] = body[name].isoformat()
    return rfc8785.dumps(body)


def read_printed(data: bytes) -> PrintedFacts:
    """The printed facts out of the attached file.

    Raises
    ------
    UnreadablePrinted
        It is too large, not as this program writes it, or lacks a field.
    NewerPrinted
        A newer program wrote it.
    """
    if len(data) > LARGEST_BYTES:
        raise UnreadablePrinted(said("it is larger than {largest_bytes} bytes", largest_bytes=LARGEST_BYTES))
    try:
        body = read_format(data, FORMAT, _FIELDS)
        printed = _read(body)
        if written_one_way(body) != data or written_facts(printed) != data:
            raise UnreadablePrinted(said("it is not written in the one way"))
    except (UnreadablePrinted, NewerPrinted):
        raise
    except NewerFormat as problem:
        raise NewerPrinted(said_of(problem)) from None
    except ValueError as problem:
        raise UnreadablePrinted(said_of(problem)) from None
    return printed


def _read(body: dict[str, Any]) -> PrintedFacts:
    kind = _text(body["paper"])
    if kind not in list(PaperKind):
        raise NewerPrinted(said("the kind of paper {kind} is not known here", kind=repr(kind)))
    told = tuple(_record(PrintedCredit, each) for each in _rows(body["credits"]))
    for each in told:
        _check_numbers(each)
    return PrintedFacts(
        paper=PaperKind(kind),
        layout=_text(body["layout"]),
        moment=_moment(body, "moment"),
        printed_at=_moment(body, "printed_at"),
        printed_by=_text(body["printed_by"]),
        project=_text(body["project"]),
        shaft=_text(body["shaft"]),
        record_digest=_text(body["record_digest"]),
        findings=tuple(_record(PrintedFinding, each) for each in _rows(body["findings"])),
        standing=_record(PrintedStanding, body["standing"]),
        release=_record(PrintedRelease, body["release"]),
        credits=told,
        stated=None if body["stated"] is None else _record(PrintedDisposition, body["stated"]),
    )


def _moment(body: dict[str, Any], name: str) -> datetime:
    return read_time(_text(body[name]), name).astimezone(UTC)


def _check_numbers(credit: PrintedCredit) -> None:
    numbers = (credit.displacement_m, credit.credit, credit.least, credit.greatest, credit.lowest)
    if not all(_NUMBER.fullmatch(each) for each in numbers):
        raise UnreadablePrinted(said("a credit in it is no number of six digits"))


R = TypeVar("R", PrintedFinding, PrintedStanding, PrintedRelease, PrintedCredit, PrintedDisposition)


def _record(made: type[R], body: Any) -> R:
    """A record whose fields are all text or lists of text."""
    if not isinstance(body, dict) or set(body) != {each.name for each in fields(made)}:
        raise UnreadablePrinted(said("it does not have the fields of its format"))
    values: dict[str, Any] = {
        each.name: tuple(_text(text) for text in _rows(body[each.name]))
        if each.type == _TEXTS
        else _text(body[each.name])
        for each in fields(made)
    }
    return made(**values)


def _rows(rows: Any) -> list[Any]:
    if not isinstance(rows, list) or len(rows) > MOST_ROWS:
        raise UnreadablePrinted(said("a list in it is no list, or too long"))
    return rows


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise UnreadablePrinted(said("a field in it is not text"))
    return value
