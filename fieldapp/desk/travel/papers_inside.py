"""The signed papers inside a bundle, each verified and told in one line.

With a project they are held against its journal as it would be with the bundle's entries, since the entry
that names a paper travels with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from itertools import chain
from pathlib import Path

from fieldapp.desk.papers.attached import StandingClock
from fieldapp.desk.papers.verifying import verify_file
from fieldapp.desk.travel.bundle_fact import PaperInside
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.manifest import Member
from fieldapp.identity.verification import Answer
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed, sentences
from fieldapp.store.kept import KeptJournal
from fieldapp.store.scratch import scratch_journal


@contextmanager
def together(place: Workplace, journal: KeptJournal) -> Iterator[Workplace]:
    """The project as it would be with the entries of a bundle that fit it: for looking only."""
    reach = {device: head.seq for device, head in place.heads().items()}
    theirs = [each for each in journal.heads().values() if each.seq > reach.get(each.device, 0)]
    longer = {each.device for each in theirs}
    mine = [each for each in place.heads().values() if each.device not in longer]
    sealed = chain(
        chain.from_iterable(map(place.chain, mine)), chain.from_iterable(map(journal.chain, theirs))
    )
    with scratch_journal(sealed, place.folder) as (held, _):
        yield Workplace(Path(), held, StandingClock(place.now()), "")


def paper_inside(member: Member, content: bytes, place: Workplace | None, at: datetime | None) -> PaperInside:
    """What is found of a paper; ``place`` is the project with the bundle's entries, where they fit it."""
    found = verify_file(content, place, at)
    shaft = found.journal.shaft if found.journal is not None else ""
    signers = [each.signer or each.field_name for each in found.signed.signatures]
    signed = said("Signed by {names}.", names=listed(signers)) if signers else said("Nobody signed it.")
    first = next((each for each in found.against if each.answer is Answer.NO), None)
    why = found.says if first is None else said("{says} {why}", says=found.says, why=first.says)
    return PaperInside(member.name, str(found.kind), shaft, found.verdict, sentences((signed, why)))
