"""What a paper says of its record, as plain data that is attached to it: to be worked out anew and compared.

`printed_facts` takes the same facts as the pages do, so it is asked of a project folder or, by
`fieldapp.desk.papers.attached`, of the journal inside the paper alone.  Numbers stand as text of six
significant digits, times in UTC, so that another machine gives the same bytes.  What is read is bounded and
canonical; anything else is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any, Final

import rfc8785

from fieldapp.base.credit_facts import CreditAt
from fieldapp.criteria.finding import BaseStanding, Finding, ReleaseState
from fieldapp.desk.papers.printed_rows import (
    NewerPrinted,
    PrintedForm,
    UnreadablePrinted,
    moment_of,
    record_of,
    rows_of,
    text_of,
)
from fieldapp.record.decisions import Disposition
from fieldapp.record.fold import Line
from fieldapp.record.said import said
from fieldapp.record.words import PaperKind
from reports.facts import ShaftFacts
from reports.layout import layout_version

__all__ = [
    "NewerPrinted",
    "PrintedFacts",
    "UnreadablePrinted",
    "printed_facts",
    "read_printed",
    "written_facts",
]

PRINTED_NAME: Final = "printed.json"
FORMAT: Final = "basenote printed facts"
VERSION: Final = 1
LARGEST_BYTES: Final = 4 * 2**20
_NUMBER: Final = re.compile(r"-?\d(\.\d{1,5})?(e[+-]\d{2,3})?|-?\d{1,6}(\.\d{1,9})?")
_FIELDS: Final = {VERSION: frozenset({
    "format", "version", "paper", "layout", "moment", "printed_at", "printed_by", "project", "shaft",
    "record_digest", "findings", "standing", "release", "credits", "stated",
})}  # fmt: skip


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

    Raises UnreadablePrinted for what is not whole, NewerPrinted for what a newer program wrote.
    """
    return _FORM.read(data)


def _read(body: dict[str, Any]) -> PrintedFacts:
    kind = text_of(body["paper"])
    if kind == PaperKind.PROJECT_SUMMARY:
        raise UnreadablePrinted(said("it is in the format of a paper of one shaft"))
    if kind not in list(PaperKind):
        raise NewerPrinted(said("the kind of paper {kind} is not known here", kind=repr(kind)))
    told = tuple(record_of(PrintedCredit, each) for each in rows_of(body["credits"]))
    for each in told:
        _check_numbers(each)
    return PrintedFacts(
        paper=PaperKind(kind),
        layout=text_of(body["layout"]),
        moment=moment_of(body, "moment"),
        printed_at=moment_of(body, "printed_at"),
        printed_by=text_of(body["printed_by"]),
        project=text_of(body["project"]),
        shaft=text_of(body["shaft"]),
        record_digest=text_of(body["record_digest"]),
        findings=tuple(record_of(PrintedFinding, each) for each in rows_of(body["findings"])),
        standing=record_of(PrintedStanding, body["standing"]),
        release=record_of(PrintedRelease, body["release"]),
        credits=told,
        stated=None if body["stated"] is None else record_of(PrintedDisposition, body["stated"]),
    )


def _check_numbers(credit: PrintedCredit) -> None:
    numbers = (credit.displacement_m, credit.credit, credit.least, credit.greatest, credit.lowest)
    if not all(_NUMBER.fullmatch(each) for each in numbers):
        raise UnreadablePrinted(said("a credit in it is no number of six digits"))


_FORM: Final = PrintedForm(FORMAT, _FIELDS, LARGEST_BYTES, _read, written_facts)
