"""What the summary of a project states, as plain data that is attached to it.

It has no journal attached, which would be that of the whole project: the digests tell of which entries it was
made, and with the project it is worked out anew and compared.  Without the project it proves nothing of the
record.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from typing import Any, Final

import rfc8785

from fieldapp.base.credit_facts import CreditSpan
from fieldapp.desk.papers.printed_rows import (
    PrintedForm,
    UnreadablePrinted,
    moment_of,
    record_of,
    rows_of,
    text_of,
)
from fieldapp.record.entry import ChainHead
from fieldapp.record.said import said
from fieldapp.record.words import PaperKind
from reports.layout import layout_version
from reports.summary_facts import SummaryFacts, SummaryShaft

FORMAT: Final = "basenote printed summary"
VERSION: Final = 1
LARGEST_BYTES: Final = 8 * 2**20
MOST_SHAFTS: Final = 10_000
MOST_DEVICES: Final = 10_000
_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_FIELDS: Final = {VERSION: frozenset({
    "format", "version", "paper", "layout", "moment", "recorded_until", "printed_at", "printed_by", "project",
    "journal_digest", "heads", "shafts",
})}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PrintedShaft:
    """One shaft as it stands on the summary; ``until`` in UTC, credits as ``0.87``, empty where none.

    ``record_digest`` is SHA-256 of its record, as its own papers name it.
    """

    shaft: str
    record_digest: str
    standing: str
    release: str
    until: str
    service: str
    strength: str


@dataclass(frozen=True, slots=True)
class PrintedSummary:
    """Everything that a summary states.

    ``journal_digest`` is of all entries but signatures on papers, up to ``heads`` and, where it is not None,
    recorded up to ``recorded_until``.  ``printed_at`` and ``printed_by`` stand on the pages and not in the
    record.
    """

    layout: str
    moment: datetime
    recorded_until: datetime | None
    printed_at: datetime
    printed_by: str
    project: str
    journal_digest: str
    heads: tuple[ChainHead, ...]
    shafts: tuple[PrintedShaft, ...]

    @property
    def digests(self) -> frozenset[str]:
        """Every digest that a reader finds on the pages: of the journal, and of each shaft's record."""
        return frozenset({self.journal_digest, *(each.record_digest for each in self.shafts)})


def printed_summary(facts: SummaryFacts, recorded_until: datetime | None) -> PrintedSummary:
    """What a summary states, out of the facts that its pages are made of."""
    return PrintedSummary(
        layout=layout_version(),
        moment=facts.at.astimezone(UTC),
        recorded_until=recorded_until.astimezone(UTC) if recorded_until is not None else None,
        printed_at=facts.printed_at.astimezone(UTC),
        printed_by=facts.printed_by,
        project=facts.project_id,
        journal_digest=facts.journal_digest,
        heads=tuple(sorted(facts.heads, key=lambda each: each.device)),
        shafts=tuple(map(_shaft, facts.shafts)),
    )


def _shaft(shaft: SummaryShaft) -> PrintedShaft:
    until, credit = shaft.release.until, shaft.credit
    return PrintedShaft(
        shaft=shaft.id,
        record_digest=shaft.digest,
        standing=str(shaft.standing.standing),
        release=str(shaft.release.status),
        until=until.astimezone(UTC).isoformat() if until else "",
        service=_credit(credit.service) if credit is not None else "",
        strength=_credit(credit.strength) if credit is not None else "",
    )


def _credit(span: CreditSpan) -> str:
    return f"{span.credit:.6g}"


def written_summary(printed: PrintedSummary) -> bytes:
    """The bytes to attach: canonical JSON (RFC 8785), the same for the same summary."""
    body: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "paper": str(PaperKind.PROJECT_SUMMARY),
        **asdict(printed),
    }
    for name in ("moment", "recorded_until", "printed_at"):
        body[name] = body[name].isoformat() if body[name] is not None else None
    return rfc8785.dumps(body)


def tells_of_summary(data: bytes) -> bool:
    """Whether an attached file says that it is of this format, be it whole or not."""
    return f'"format":"{FORMAT}"'.encode() in data


def read_summary(data: bytes) -> PrintedSummary:
    """What a summary states, out of the attached file.

    Raises UnreadablePrinted for what is not whole, NewerPrinted for what a newer program wrote.
    """
    return _FORM.read(data)


def _read(body: dict[str, Any]) -> PrintedSummary:
    if body["paper"] != PaperKind.PROJECT_SUMMARY:
        raise UnreadablePrinted(said("it is of another kind of paper"))
    until = body["recorded_until"]
    shafts = tuple(record_of(PrintedShaft, each) for each in rows_of(body["shafts"], MOST_SHAFTS))
    return PrintedSummary(
        layout=text_of(body["layout"]),
        moment=moment_of(body, "moment"),
        recorded_until=None if until is None else moment_of(body, "recorded_until"),
        printed_at=moment_of(body, "printed_at"),
        printed_by=text_of(body["printed_by"]),
        project=text_of(body["project"]),
        journal_digest=_digest(body["journal_digest"]),
        heads=tuple(_heads(body["heads"])),
        shafts=tuple(_once(shafts)),
    )


def _heads(rows: Any) -> Iterator[ChainHead]:
    for each in rows_of(rows, MOST_DEVICES):
        if (
            not isinstance(each, dict)
            or set(each) != {"device", "seq", "hash"}
            or type(each["seq"]) is not int
        ):
            raise UnreadablePrinted(said("a chain head in it is none"))
        yield ChainHead(text_of(each["device"]), each["seq"], _digest(each["hash"]))


def _once(shafts: tuple[PrintedShaft, ...]) -> Iterator[PrintedShaft]:
    seen: set[str] = set()
    for each in shafts:
        if each.shaft in seen:
            raise UnreadablePrinted(said("it states a shaft twice"))
        seen.add(each.shaft)
        _digest(each.record_digest)
        yield each


def _digest(value: Any) -> str:
    digest = text_of(value)
    if not _DIGEST.fullmatch(digest):
        raise UnreadablePrinted(said("a digest in it is none"))
    return digest


_FORM: Final = PrintedForm(FORMAT, _FIELDS, LARGEST_BYTES, _read, written_summary)
