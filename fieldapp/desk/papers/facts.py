"""What a paper says of the record, fact by fact: its attached journal, the project's journal, the release.

Each answer is yes, no or unknown and comes with its sentence.  A roster inside a paper is no trust: whoever
makes a false paper makes its roster too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from fieldapp.criteria.finding import ReleaseState, ReleaseStatus
from fieldapp.criteria.phrasing import clock, unended
from fieldapp.criteria.release import release_state
from fieldapp.criteria.roles import has_role
from fieldapp.desk.papers.anew import NotWorkedOut, guarded
from fieldapp.desk.papers.attached import attached_place, moment_in_zone
from fieldapp.desk.papers.bearing import bearing_on
from fieldapp.desk.papers.enclosed import Enclosed
from fieldapp.desk.papers.journal import PaperJournal, belonging
from fieldapp.desk.papers.policy import signed_of
from fieldapp.desk.papers.record_fact import RecordFact, RecordFactName
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.signing_order import signed_as
from fieldapp.identity.verification import Answer, SignatureFacts, Verification
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.said import said, said_of
from fieldapp.record.said_lists import listed, sentences, word
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, project_record


def same_digest(
    journal: PaperJournal, found: Verification, pages: tuple[frozenset[str], ...] | None
) -> RecordFact:
    """Whether the record that the journal gives is the one that every page and signature names."""
    name, digest = RecordFactName.SAME_DIGEST, journal.record_digest
    lead = said("The attached journal gives the record {digest}", digest=digest)
    wrong = not_everywhere(lead, digest, found, pages)
    if wrong:
        return RecordFact(name, Answer.NO, wrong)
    says = said(
        "The attached journal gives the record {digest}, as every page and every signature names it.",
        digest=digest,
    )
    return RecordFact(name, Answer.YES, says)


def not_everywhere(
    lead: str, digest: str, found: Verification, pages: tuple[frozenset[str], ...] | None
) -> str:
    """Which signature or page names another digest, after ``lead``; empty where all name this one."""
    over = sorted({each.field_name for each in found.signatures if each.record_digest != digest})
    if over:
        return said("{lead}, and {names} signed over another.", lead=lead, names=listed(map(signed_as, over)))
    if pages is None:
        return said("The pages cannot be read, so they show no digest.")
    without = [str(number) for number, shown in enumerate(pages, 1) if digest not in shown]
    if without or not pages:
        return said("{lead}; page {names} does not show it.", lead=lead, names=", ".join(without))
    return ""


def in_project(place: Workplace, journal: PaperJournal) -> RecordFact:
    """Whether the attached entries are the project's own, unchanged and none left out."""
    wrong = _not_in_project(place, journal)
    name = RecordFactName.IN_PROJECT
    if wrong:
        return RecordFact(name, Answer.NO, wrong)
    says = said(
        "All {count} attached entries are in the project's journal, unchanged, none left out.",
        count=len(journal.everything),
    )
    return RecordFact(name, Answer.YES, says)


def _not_in_project(place: Workplace, journal: PaperJournal) -> str:
    if journal.project != place.project_id:
        return said(
            "The attached journal is of the project {project}, not of {project_id}.",
            project=journal.project,
            project_id=place.project_id,
        )
    known = {(each.device, each.seq): each for each in _around(place, journal)}
    for each in journal.everything:
        mine = known.get((each.device, each.seq))
        if mine is None:
            return said(
                "The project's journal lacks entry {seq} of {device}, which is attached.",
                seq=each.seq,
                device=each.device,
            )
        if mine.hash != each.hash:
            return said(
                "Entry {seq} of {device} is another one in the project's journal.",
                seq=each.seq,
                device=each.device,
            )
    return _other_end(journal, known) or _left_out(place, journal)


def _around(place: Workplace, journal: PaperJournal) -> tuple[Entry, ...]:
    """The project's entries that bear on the shaft now, and those at the places that the paper attaches."""
    attached = {(each.device, each.seq) for each in journal.everything}
    return place.around(journal.shaft, attached | {(each.device, each.seq) for each in journal.heads})


def _other_end(journal: PaperJournal, known: Mapping[tuple[str, int], Entry]) -> str:
    for head in journal.heads:
        mine = known.get((head.device, head.seq))
        if mine is None or mine.hash != head.hash:
            return said(
                "The chain of {device} does not go through entry {seq} as attached.",
                device=head.device,
                seq=head.seq,
            )
    return ""


def _left_out(place: Workplace, journal: PaperJournal) -> str:
    attached = {each.hash for each in journal.everything}
    seen = _seen(_around(place, journal), journal)
    kept = belonging(seen, journal.shaft)
    for each in (*kept, *bearing_on(seen, kept, journal.heads)):
        if each.hash not in attached:
            return said(
                "Entry {seq} of {device} is left out of the attached journal.",
                seq=each.seq,
                device=each.device,
            )
    return ""


def _seen(entries: Iterable[Entry], journal: PaperJournal) -> list[Entry]:
    """The entries that were there when the paper was made."""
    reach = {each.device: each.seq for each in journal.heads}
    until = journal.recorded_until
    return [
        each
        for each in entries
        if each.seq <= reach.get(each.device, 0) and (until is None or each.draft.recorded_at <= until)
    ]


def in_journal(
    inside: Enclosed, found: Verification, signatures: tuple[Entry, ...], known_bytes: int | None
) -> RecordFact:
    """Whether the project's journal names this file, for this shaft and with these signers.

    ``signatures`` are those of the file, or of its beginning of ``known_bytes`` when it names only that.
    """
    name = RecordFactName.IN_JOURNAL
    if not signatures:
        says = said(
            "The project's journal does not name this file. If its entries have not arrived, take them over."
        )
        return RecordFact(name, Answer.NO, says)
    last = signatures[-1]
    if known_bytes is not None:
        says = said(
            "The first {known_bytes} bytes are the paper that {last}; what follows them is "
            "not in the project's journal.",
            known_bytes=known_bytes,
            last=_who(last),
        )
        return RecordFact(name, Answer.NO, says)
    states = signed_of(last)
    if (inside.printed is not None or inside.summary is not None) and states.paper is not inside.kind:
        says = said(
            "The project's journal names this file as a {kind}, and it calls itself a {own}.",
            kind=word(states.paper),
            own=word(inside.kind),
        )
        return RecordFact(name, Answer.NO, says)
    of = _about(inside)
    if of is not None and (states.about, states.record_digest) != of:
        says = said(
            "The project's journal names this file as a paper of {about} over another record.",
            about=states.about,
        )
        return RecordFact(name, Answer.NO, says)
    made = [(each.field_name, each.fingerprint) for each in found.signatures]
    named = [(each.field, each.fingerprint) for each in map(signed_of, signatures)]
    if made != named:
        return RecordFact(name, Answer.NO, said("The project's journal names other signatures on this file."))
    says = said(
        "The file is the one that the project's journal names, byte by byte: {last}.", last=_who(last)
    )
    return RecordFact(name, Answer.YES, says)


def _about(inside: Enclosed) -> tuple[str, str] | None:
    """The shaft or project that a paper is about, and the digest of its record; None with none enclosed."""
    if inside.summary is not None:
        return inside.summary.project, inside.summary.journal_digest
    return (inside.journal.shaft, inside.journal.record_digest) if inside.journal is not None else None


def latest(later: tuple[Entry, ...]) -> RecordFact:
    """Whether nobody signed this paper further."""
    name = RecordFactName.LATEST
    if not later:
        return RecordFact(
            name, Answer.YES, said("Nobody signed this paper further, as far as the journal shows.")
        )
    then = None
    for each in later:
        one = said("{who}, file {file}", who=_who(each), file=signed_of(each).file_name)
        then = one if then is None else said("{first}; {then}", first=then, then=one)
    return RecordFact(name, Answer.NO, said("This is an earlier state of the paper: {then}.", then=then))


def roles_then(project: ProjectRecord, signatures: tuple[Entry, ...]) -> RecordFact:
    """Whether the roster gave every signer the role when the signature was made."""
    name = RecordFactName.ROLE_THEN
    if not signatures:
        says = said(
            "When the signatures were made is not known to the journal, so neither are the roles then."
        )
        return RecordFact(name, Answer.UNKNOWN, says)
    for each in signatures:
        author, role = each.draft.author, signed_of(each).role
        if not has_role(project, author, role, each.order):
            return RecordFact(
                name,
                Answer.NO,
                said("{author} was not {role} on the roster when signing.", author=author, role=role),
            )
    return RecordFact(name, Answer.YES, said("Every signer had the role on the roster when signing."))


def own_roster(journal: PaperJournal, found: Verification) -> RecordFact:
    """What the roster inside the paper says; it is never trust."""
    pinned = {
        fingerprint_of(person.certificate)
        for each in journal.entries
        if isinstance(each.values, ProjectSetup)
        for person in each.values.people
    }
    named = [_signer(each) for each in found.signatures if each.fingerprint in pinned]
    strange = [_signer(each) for each in found.signatures if each.fingerprint not in pinned]
    says = []
    if named:
        says.append(
            said(
                "The paper's own roster names the certificate of {names}; that proves nothing by itself.",
                names=listed(named),
            )
        )
    if strange:
        says.append(
            said("Not even the paper's own roster names the certificate of {names}.", names=listed(strange))
        )
    says.append(said("Verify with the project, or compare the fingerprints with their owners."))
    return RecordFact(RecordFactName.OWN_ROSTER, Answer.UNKNOWN, sentences(says))


def _signer(signature: SignatureFacts) -> str:
    return signature.signer or signed_as(signature.field_name)


def release_now(place: Workplace, journal: PaperJournal, at: datetime) -> RecordFact:
    """Whether concrete is released now, from the project's record; it counts where the paper shows one."""
    name, project = RecordFactName.RELEASE, place.record()
    shaft = project.shaft(journal.shaft)
    if shaft is None:
        return RecordFact(name, Answer.NO, said("The project has no shaft {shaft}.", shaft=journal.shaft))
    now = release_state(project, shaft, at)
    if now.status is ReleaseStatus.RELEASED:
        return RecordFact(name, Answer.YES, _holds(now, shaft, at))
    then = _as_of_paper(project.id, _seen(_around(place, journal), journal), journal)
    why = said(" Reason: {reason}.", reason=unended(now.reason)) if now.reason else ""
    if then is ReleaseStatus.RELEASED:
        says = said("The paper shows a release, and now it is {status}.{why}", status=now.status, why=why)
        return RecordFact(name, Answer.NO, says)
    if then is now.status is ReleaseStatus.NONE:
        none = said("The paper shows no release, and concrete is not released now.")
        return RecordFact(name, Answer.NO, none, counts=False)
    says = said(
        "The paper shows no release that holds ({then}), and now it is {status}.{why}",
        then=then,
        status=now.status,
        why=why,
    )
    return RecordFact(name, Answer.NO, says, counts=False)


def _holds(now: ReleaseState, shaft: ShaftRecord, at: datetime) -> str:
    until = said(" until {until}", until=clock(now.until)) if now.until else ""
    started = shaft.concrete_started_at
    if started is None:
        return said("The release holds{until}, as of {at}.", until=until, at=clock(at))
    return said(
        "The release{until} held when concrete started at {started}, as the record has it.",
        until=until,
        started=clock(started),
    )


def _as_of_paper(project_id: str, entries: list[Entry], journal: PaperJournal) -> ReleaseStatus:
    project = project_record(project_id, entries)
    return release_state(project, project.shafts[journal.shaft], journal.as_of).status


def release_alone(journal: PaperJournal, at: datetime | None) -> RecordFact:
    """Whether concrete is released as far as the attached journal tells; without the project never a yes.

    ``at`` is the moment asked; the one of the paper when it is None.  A no does not count: what came later
    is not in the paper, and a paper does not get false by getting old.
    """
    name, moment = RecordFactName.RELEASE, at or journal.as_of
    place = attached_place(journal, moment)
    try:
        project, shaft = guarded(place.record), guarded(lambda: place.shaft(journal.shaft))
        moment = moment_in_zone(place, moment)
        now = guarded(lambda: release_state(project, shaft, moment))
    except NotWorkedOut as problem:
        return RecordFact(name, Answer.UNKNOWN, said_of(problem))
    further = said("What came later only the project can tell.")
    if now.status is ReleaseStatus.RELEASED:
        says = said("As far as the attached journal tells: {holds}", holds=_holds(now, shaft, moment))
        return RecordFact(name, Answer.UNKNOWN, sentences((says, further)))
    why = said(" Reason: {reason}.", reason=unended(now.reason)) if now.reason else ""
    says = said(
        "As far as the attached journal tells, no release holds at {at} ({status}).{why}",
        at=clock(moment),
        status=now.status,
        why=why,
    )
    return RecordFact(name, Answer.NO, sentences((says, further)), counts=False)


def _who(entry: Entry) -> str:
    values = entry.values
    assert isinstance(values, PaperSigned)
    return said(
        "{author} signed as {role} on {observed_at}",
        author=entry.draft.author,
        role=values.role,
        observed_at=clock(entry.draft.observed_at),
    )
