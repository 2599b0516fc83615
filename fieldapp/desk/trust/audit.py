"""The audit of a project folder: is it whole, who may have made it, who signed it, was it rewritten.

It only reads and repairs nothing.  What nobody signed is said and does not fail; an honest copy without
this device's memory does not either.  What one file cannot show, it does not promise.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

from fieldapp.desk.projector import Rows
from fieldapp.desk.trust.receiving import last_seen, signed_places, wrongly_made
from fieldapp.desk.trust.signatures import (
    Attribution,
    Signatures,
    SignedBy,
    SignedThrough,
    attributions,
    how_far,
    signatures_in,
)
from fieldapp.desk.trust.witness import Seen, Standing, compare, remember
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.store.checking import StoreFinding, Walk, check_store, finding, not_here_yet
from fieldapp.store.kept import KeptJournal
from fieldapp.store.papers import REPORTS, is_paper_name, paper_path


def audit(folder: Path) -> tuple[StoreFinding, ...]:
    """Everything that can be checked of a project folder.

    When all of it holds, this device remembers how far each chain is signed, for the next time.
    """
    seen: list[tuple[str, Mapping[str, Seen], tuple[Entry, ...]]] = []

    def further(walk: Walk) -> Iterator[StoreFinding]:
        signatures = signatures_in(walk.journal, walk.breaks)
        signed, project = tuple(signed_places(walk.journal)), _project(walk)
        seen.append((project, last_seen(signatures), signed))
        yield _makers(walk.journal)
        yield _signatures(how_far(signatures, walk.watch.heads), signatures)
        yield _decisions(attributions(walk.journal, signatures, walk.watch.heads))
        yield _memory(walk, project, signatures, signed)
        on_their_way: list[str] = []
        yield finding("signed papers are here, unchanged", _lost_papers(walk, on_their_way))
        yield not_here_yet("signed papers of other devices, not here yet", on_their_way)

    found = check_store(folder, Rows(), further)
    if seen and all(each.ok for each in found):
        remember(folder, *seen[0])
    return found


def _makers(journal: KeptJournal) -> StoreFinding:
    wrong = (f"{_named(each)}: {why}" for each, why in wrongly_made(journal))
    return finding("everybody made what he may make", wrong)


def _signatures(far: Mapping[str, SignedThrough], signatures: Signatures) -> StoreFinding:
    held = finding("signatures of chains hold", [f"{_named(each)}: {why}" for each, why in signatures.wrong])
    said = "; ".join(map(_how_far, far.values()))
    return StoreFinding(held.what, held.ok, "; ".join(filter(None, (held.detail, said))))


def _how_far(chain: SignedThrough) -> str:
    if not chain.seq:
        return f"{chain.device}: none of its {chain.last} entries is signed"
    after = chain.last - chain.seq - 1
    rest = f", {after} after that not signed" if after else ""
    return f"{chain.device}: signed through entry {chain.seq} by key {chain.fingerprint[:16]}{rest}"


def _decisions(found: tuple[Attribution, ...]) -> StoreFinding:
    """Never wrong in itself: a decision typed from paper is unsigned and stands on the paper."""
    by = Counter(each.by for each in found)
    said = ", ".join(f"{by[each]} {_WORDS[each]}" for each in SignedBy if by[each])
    return StoreFinding("whose key vouches for decisions", ok=True, detail=said or "no decision yet")


_WORDS: Final = {
    SignedBy.PERSON: "by the certificate of who made it",
    SignedBy.DEVICE: "by the device only",
    SignedBy.NOBODY: "not signed",
}


def _memory(walk: Walk, project: str, signatures: Signatures, signed: tuple[Entry, ...]) -> StoreFinding:
    keys = {device: signatures.fingerprint(device) for device in signatures.keys}
    compared = compare(walk.journal.folder, project, Standing(signed, walk.watch.last, keys))
    held = finding("this device remembers the same", compared.wrong)
    not_known = "" if compared.known else "not known: this device has seen no signed chain of this project"
    return StoreFinding(
        held.what, held.ok, "; ".join(filter(None, (held.detail, compared.remark, not_known)))
    )


def _lost_papers(walk: Walk, on_their_way: list[str]) -> Iterator[str]:
    """What was lost or changed; papers of other devices that have not arrived go into ``on_their_way``."""
    folder = walk.journal.folder
    signed = [
        (each, each.values)
        for each in walk.journal.of_kinds((PaperSigned.KIND,))
        if isinstance(each.values, PaperSigned)
    ]
    last = {(paper.file_name, entry.device): (entry, paper) for entry, paper in signed}
    for (name, device), (entry, paper) in sorted(last.items(), key=lambda each: each[0]):
        if paper_path(folder, name, paper.file_digest) is not None:
            continue
        stands = is_paper_name(name) and (folder / REPORTS / name).exists()
        # Where another paper has this name, the file under it says nothing about this one.
        others = any(each.file_name == name and each.file_digest != paper.file_digest for _, each in signed)
        if not is_paper_name(name):
            yield f"{name} lies outside of the reports and was not looked at ({_named(entry)})"
        elif device not in walk.here and (not stands or others):
            on_their_way.append(f"{name} ({_named(entry)})")
        elif stands:
            yield f"{name} was changed after the last signature ({_named(entry)})"
        else:
            yield f"{name} is missing ({_named(entry)})"


def _named(entry: Entry) -> str:
    return f"entry {entry.seq} of device {entry.device}, a {entry.kind} by {entry.draft.author}"


def _project(walk: Walk) -> str:
    return next((each.draft.project for each in walk.journal.entries()), "")
