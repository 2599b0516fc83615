"""What of the rest of the journal bears on one shaft: without it the shaft's findings would be others.

A decision rests on positions in every chain, so the last entry of each chain is needed to see that it is
there.  A clock that was corrected on another shaft is corrected on this one.  A revoked device counts from
its first entry since, wherever that stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from fieldapp.record.attesting import PaperSigned, Revocation
from fieldapp.record.chain import chains_of, heads_of
from fieldapp.record.corrections import correcting
from fieldapp.record.decisions import DECISIONS, Withdrawal
from fieldapp.record.entry import ChainHead, Entry
from fieldapp.record.fold import in_order
from fieldapp.record.revoked import revoked_devices
from fieldapp.record.shaft import project_record


def heads_told(entries: Sequence[Entry], kept: Iterable[Entry]) -> tuple[ChainHead, ...]:
    """The last entries of every chain, by device.

    A signed paper is none, so that the same record tells the same heads; but one that a decision among
    ``kept`` rests on is part of what that decision saw.
    """
    heads = heads_of(each for each in entries if not isinstance(each.values, PaperSigned))
    rests_on = {
        (position.device, position.seq)
        for each in kept
        if isinstance(each.values, DECISIONS) and not isinstance(each.values, Withdrawal)
        for position in each.values.basis.positions
    }
    for device, chain in chains_of(entries).items():
        for each in chain:
            head = heads.get(device)
            if (device, each.seq) in rests_on and (head is None or each.seq > head.seq):
                heads[device] = ChainHead(device, each.seq, each.hash)
    return tuple(each for _, each in sorted(heads.items()))


def bearing_on(entries: Sequence[Entry], kept: Sequence[Entry], heads: Iterable[ChainHead]) -> list[Entry]:
    """The entries beside ``kept`` that bear on the shaft, in the order of folding."""
    mine = {each.hash for each in kept}
    others = [each for each in entries if each.hash not in mine]
    ends = {each.device: each for each in heads}
    corrections = correcting(others)
    wanted = {each.hash for each in ends.values()} | _since_revoked(entries, kept)
    wanted |= {each.hash for each in others if each.id in corrections}
    return in_order(
        each
        for each in others
        if each.hash in wanted and each.device in ends and each.seq <= ends[each.device].seq
    )


def _since_revoked(entries: Sequence[Entry], kept: Sequence[Entry]) -> set[str]:
    """Hashes of the first entry of each revoked device since its revocation."""
    if not any(isinstance(each.values, Revocation) for each in kept):
        return set()
    first = revoked_devices(project_record("", entries))
    return {each.hash for each in entries if first.get(each.device) == each.seq}
