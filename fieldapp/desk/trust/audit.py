"""The audit of a project folder: is it whole, who may have made it, who signed it, was it rewritten.

It only reads and repairs nothing.  What nobody signed is said and does not fail; an honest copy without
this device's memory does not either.  What one file cannot show, it does not promise.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from fieldapp.desk.projector import Rows
from fieldapp.desk.trust.receiving import last_seen, wrongly_made
from fieldapp.desk.trust.signatures import (
    Attribution,
    Signatures,
    SignedBy,
    SignedThrough,
    attributions,
    how_far,
    signatures_in,
)
from fieldapp.desk.trust.witness import compare, remember
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.store.checking import StoreFinding, check_store, finding

REPORTS: Final = "reports"


def audit(folder: Path) -> tuple[StoreFinding, ...]:
    """Everything that can be checked of a project folder.

    When all of it holds, this device remembers how far each chain is signed, for the next time.
    """
    seen: list[tuple[tuple[Entry, ...], Signatures]] = []

    def further(entries: tuple[Entry, ...]) -> Iterator[StoreFinding]:
        signatures = signatures_in(entries)
        seen.append((entries, signatures))
        yield _makers(entries)
        yield _signatures(signatures)
        yield _decisions(attributions(signatures))
        yield _memory(folder, entries, signatures)
        yield finding("signed papers are here, unchanged", _lost_papers(folder, entries))

    found = check_store(folder, Rows(), further)
    if seen and all(each.ok for each in found):
        entries, signatures = seen[0]
        remember(folder, _project(entries), last_seen(signatures), entries)
    return found


def _makers(entries: tuple[Entry, ...]) -> StoreFinding:
    wrong = (f"{_named(each)}: {why}" for each, why in wrongly_made(entries, {each.id for each in entries}))
    return finding("everybody made what he may make", wrong)


def _signatures(signatures: Signatures) -> StoreFinding:
    held = finding("signatures of chains hold", [f"{_named(each)}: {why}" for each, why in signatures.wrong])
    far = "; ".join(map(_how_far, how_far(signatures).values()))
    return StoreFinding(held.what, held.ok, "; ".join(filter(None, (held.detail, far))))


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


def _memory(folder: Path, entries: tuple[Entry, ...], signatures: Signatures) -> StoreFinding:
    keys = {device: signatures.fingerprint(device) for device in signatures.keys}
    compared = compare(folder, _project(entries), entries, keys)
    held = finding("this device remembers the same", compared.wrong)
    not_known = "" if compared.known else "not known: this device has seen no signed chain of this project"
    return StoreFinding(
        held.what, held.ok, "; ".join(filter(None, (held.detail, compared.remark, not_known)))
    )


def _lost_papers(folder: Path, entries: tuple[Entry, ...]) -> Iterator[str]:
    last = {each.values.file_name: each for each in entries if isinstance(each.values, PaperSigned)}
    for name, entry in sorted(last.items()):
        paper = entry.values
        assert isinstance(paper, PaperSigned)
        what = _state(folder / REPORTS, name, paper.file_digest)
        if what:
            yield f"{name} {what} ({_named(entry)})"


def _state(reports: Path, name: str, digest: str) -> str:
    """What is wrong with a signed file; empty when it is here as it was signed."""
    if Path(name).name != name:
        return "lies outside of the reports and was not looked at"
    try:
        with (reports / name).open("rb") as file:
            same = hashlib.file_digest(file, "sha256").hexdigest() == digest
    except OSError as problem:
        return f"is missing ({problem.strerror})"
    return "" if same else "was changed after the last signature"


def _named(entry: Entry) -> str:
    return f"entry {entry.seq} of device {entry.device}, a {entry.kind} by {entry.draft.author}"


def _project(entries: tuple[Entry, ...]) -> str:
    return entries[0].draft.project if entries else ""
