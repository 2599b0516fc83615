"""Papers made once, and what is found of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from fieldapp.desk.papers.paper import Pen
from fieldapp.desk.papers.verifying import PaperVerdict, verify_file
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.verification import Verdict
from fieldapp.record.words import Role
from tests.desk.signed_papers import (
    insiders_paper,
)

MORNING = datetime(2026, 5, 12, 9, 0, tzinfo=ZoneInfo("America/Denver"))


@dataclass(frozen=True)
class Made:
    """A closed project with a log signed by all three, and the clock as it stood then."""

    folder: Path
    pens: dict[Role, Pen]
    papers: tuple[bytes, bytes, bytes]
    at: datetime
    ids: int


def wrong(found: PaperVerdict) -> set[object]:
    """What speaks against a paper; each has a sentence."""
    assert all(each.says.endswith(".") for each in found.record)
    assert found.verdict is Verdict.REJECTED
    return {each.name for each in found.against}


def insider(place: Workplace, made: Made, journal: bytes | None) -> PaperVerdict:
    """What is found of a paper that the inspector made himself, signed and journalled, with this inside."""
    digest = place.shaft("P1-1").digest
    pdf = insiders_paper(place, made.pens[Role.INSPECTOR], journal, digest)
    return verify_file(pdf, place)
