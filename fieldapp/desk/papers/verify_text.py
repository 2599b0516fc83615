"""The verdict on a paper as text for people and as plain data for programs: one line, then the facts."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import asdict
from typing import Final, Protocol

from fieldapp.desk.papers.printed_summary import PrintedSummary
from fieldapp.desk.papers.verifying import PaperVerdict
from fieldapp.identity.signing_order import signed_as
from fieldapp.identity.verification import Answer, SignatureFacts

WIDTH: Final = 110
_MARK: Final = {Answer.YES: "yes", Answer.NO: "NO", Answer.UNKNOWN: "unknown"}


class Asked(Protocol):
    """Something that was asked, with its answer and sentence."""

    @property
    def name(self) -> str:
        """What was asked."""
        ...

    @property
    def answer(self) -> Answer:
        """Yes, no or unknown."""
        ...

    @property
    def says(self) -> str:
        """The sentence for it."""
        ...


def verdict_text(found: PaperVerdict) -> str:
    """One line with the verdict, then the facts of the paper, of each signature, and of the record."""
    lines = [f"{found.verdict}: {found.says}", *block("paper", found.signed.facts)]
    for each in found.signed.signatures:
        who = f"{each.order}. {role_of(each)}: {each.signer or 'nobody known'}"
        lines += [*block(f"signature {who}", each.facts), *wrapped("", each.time_says)]
    told = {each.says for each in found.signed.facts}
    record = [each for each in found.record if each.says not in told]  # no sentence is told twice
    return "\n".join([*lines, *(block("record", record) if record else [])])


def role_of(found: SignatureFacts) -> str:
    """Whose signature it is, in words: the role that its field is for."""
    return signed_as(found.field_name)


def verdict_json(found: PaperVerdict) -> dict[str, object]:
    """The same for a program; times are ISO 8601 with offset."""
    journal, summary = found.journal, found.summary
    of = journal or summary
    return {
        "verdict": str(found.verdict),
        "says": found.says,
        "file_digest": found.file_digest,
        "kind": str(found.kind),
        "project": of.project if of else None,
        "shaft": journal.shaft if journal else None,
        "record_digest": journal.record_digest if journal else None,
        "as_of": journal.as_of.isoformat() if journal else None,
        "summary": _summary_json(summary) if summary is not None else None,
        "paper": [fact_json(each) for each in found.signed.facts],
        "signatures": [_signature_json(each) for each in found.signed.signatures],
        "record": [{**fact_json(each), "counts": each.counts} for each in found.record],
    }


def _summary_json(summary: PrintedSummary) -> dict[str, object]:
    return {
        "as_of": summary.moment.isoformat(),
        "journal_digest": summary.journal_digest,
        "shafts": [asdict(each) for each in summary.shafts],
    }


def _signature_json(found: SignatureFacts) -> dict[str, object]:
    return {
        "field": found.field_name,
        "signer": found.signer,
        "role": str(found.role) if found.role else None,
        "meaning": found.meaning,
        "fingerprint": found.fingerprint,
        "signed_at": found.signed_at.isoformat() if found.signed_at else None,
        "stamped_at": found.stamped_at.isoformat() if found.stamped_at else None,
        "trust": str(found.trust),
        "later_changes": str(found.later_changes),
        "record_digest": found.record_digest,
        "facts": [fact_json(each) for each in found.facts],
        "time_says": found.time_says,
    }


def fact_json(fact: Asked) -> dict[str, object]:
    """A fact as plain data."""
    return {"name": str(fact.name), "answer": str(fact.answer), "says": fact.says}


def block(title: str, facts: Sequence[Asked]) -> list[str]:
    """A titled list of facts, each with its answer before its sentence."""
    lines = ["", title]
    for each in facts:
        lines += wrapped(_mark(each), each.says)
    return lines


def _mark(fact: Asked) -> str:
    """The answer before a sentence; a no that speaks against nothing is not written large."""
    counts = getattr(fact, "counts", True)
    return "no" if fact.answer is Answer.NO and not counts else _MARK[fact.answer]


def wrapped(mark: str, says: str) -> list[str]:
    """A sentence with a word before it, in lines of at most ``WIDTH`` letters."""
    return textwrap.wrap(says, WIDTH, initial_indent=f"  {mark:<8} ", subsequent_indent=" " * 11)
