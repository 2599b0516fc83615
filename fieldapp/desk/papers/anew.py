"""A paper worked out anew from what is enclosed in it: the facts, what it would state, its pages.

Whoever made the paper made the journal in it too: what the rules stumble over there is not worked out, and
raises nothing else.  The same content is worked out once, since a paper is verified before and after every
signature.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Final, TypeVar

from fieldapp.desk.papers.attached import attached_place
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.journal import PaperJournal
from fieldapp.desk.papers.printed import PrintedFacts, printed_facts
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.record.said import said
from reports.facts import Report, ShaftFacts

MOST_ENTRIES: Final = 3000
"""Of one shaft; a journal with more is not worked out, for it may be meant to keep us busy."""
T = TypeVar("T")


class NotWorkedOut(ValueError):
    """A journal from which a paper cannot be worked out here; the text says why, as a sentence."""


@dataclass(frozen=True, slots=True)
class Held:
    """The journal and the printed facts in a paper, named by the digest of both."""

    digest: str
    journal: PaperJournal = field(compare=False)
    printed: PrintedFacts = field(compare=False)


@lru_cache(maxsize=2)
def facts_anew(held: Held) -> ShaftFacts:
    """What the attached journal alone says, at the moment and by whom the paper was printed.

    Raises NotWorkedOut.
    """
    journal, printed = held.journal, held.printed
    if len(journal.shaft_entries) > MOST_ENTRIES:
        raise NotWorkedOut(
            said(
                "The attached journal has more than {most} entries of its shaft, so nothing was worked out.",
                most=MOST_ENTRIES,
            )
        )
    place = attached_place(journal, printed.printed_at)
    return guarded(
        lambda: shaft_facts(place, journal.shaft, printed.moment, printed.printed_by, printed.paper)
    )


def stated_anew(held: Held) -> PrintedFacts:
    """What a paper made of the attached journal states.  Raises NotWorkedOut."""
    facts = facts_anew(held)
    return guarded(lambda: printed_facts(facts, held.printed.paper))


@lru_cache(maxsize=2)
def pages_anew(held: Held) -> Report:
    """The pages of a paper made of the attached journal.  Raises NotWorkedOut."""
    facts = facts_anew(held)
    return guarded(lambda: FORMS[held.printed.paper].lays_out(facts))


def guarded(work: Callable[[], T]) -> T:
    """What comes of working on entries that anybody may have made.  Raises NotWorkedOut."""
    try:
        return work()
    except Exception as problem:  # noqa: BLE001 - a forged journal may make any rule or layout stumble
        says = said(
            "From the attached journal it could not be worked out anew ({kind}).", kind=type(problem).__name__
        )
        raise NotWorkedOut(says) from None
