"""What a bundle states of its chains, held against the entries that came of it."""

from __future__ import annotations

from fieldapp.exchange.bundle.reading import Bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.record.said import said
from fieldapp.store.arriving import Arrival
from fieldapp.store.kept import KeptJournal


def check_whole(bundle: Bundle, arrival: Arrival, journal: KeptJournal) -> None:
    """Hold that a bundle carries the chains that it states, each once from its first entry to its head.

    ``arrival`` is what came of it into ``journal``.  Raises BundleRefused.
    """
    stated = bundle.manifest.heads
    found = {
        (each.device, each.seq, each.hash): each.draft.project
        for each in journal.at_places((each.device, each.seq) for each in stated)
    }
    for head in stated:
        if (head.device, head.seq, head.hash) not in found:
            rule = said("The chain of device {device} does not end where it says.", device=head.device)
            raise BundleRefused(bundle.name, rule)
    if arrival.astray or arrival.whole != {each.device: each.seq for each in stated}:
        raise BundleRefused(bundle.name, said("It does not hold the entries of the chains that it states."))
    if set(found.values()) != {bundle.manifest.project}:  # a journal is of one project
        raise BundleRefused(bundle.name, said("Its entries are of another project than it says."))
