"""Signatures on papers, in the order of their kind: the first certifies, later ones follow, the last closes.

Every signature makes a new file beside the earlier one, whole or not at all, and then an entry in the
journal.  When the program dies between the two, the next call finds the file, verifies it, and makes the
entry from the signature in it; strokes drawn by hand are then in the file alone.
"""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.desk.inspector import AskFirst, Saying, record_entry
from fieldapp.desk.papers.forms import meaning_of
from fieldapp.desk.papers.paper import Paper, PaperRefused, Pen
from fieldapp.desk.papers.policy import policy_of, signatures_up_to, signed_further, signed_of
from fieldapp.desk.papers.record_fact import FROM_ITS_JOURNAL, RecordFactName
from fieldapp.desk.papers.since import since_said
from fieldapp.desk.papers.verifying import PaperVerdict, read_paper, verify_file
from fieldapp.desk.settings import read_settings
from fieldapp.desk.trust.unlocking import check_may_sign
from fieldapp.desk.turning_point import TurningPoint
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.drawn import Drawing
from fieldapp.identity.errors import NoTimestamp
from fieldapp.identity.pdf_signing import SignRequest, sign_pdf
from fieldapp.identity.people import SignerIdentity
from fieldapp.identity.policy import ExpectedSigner
from fieldapp.identity.signing_order import ORDERS, SigningOrder, Step, check_clock
from fieldapp.identity.timestamps import WebTimestamper
from fieldapp.identity.verification import SignatureFacts, Verdict
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.attesting import LONGEST_DRAWING, PaperSigned
from fieldapp.record.entry import NO_ENTRY_BEFORE, Entry
from fieldapp.record.questions import Objection
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed, sentences, word
from fieldapp.record.words import PaperKind, Role
from fieldapp.store.papers import save_paper

OLDER_RECORD: Final = "older-record"
NOT_COMPARED: Final = "not-compared"
NO_TIMESTAMP: Final = said(
    "No trusted timestamp could be had, so the time of this signature is that of this device alone."
)
_NUMBERED: Final = re.compile(r"-(un)?signed(-\d+)?$")


@dataclass(frozen=True, slots=True)
class Turn:
    """Whose signature comes next on which file: the file it goes into, its kind, and what it is over."""

    path: Path
    kind: PaperKind
    about: str
    record_digest: str
    step: Step
    before: tuple[Entry, ...] = ()
    confirmed: tuple[str, ...] = ()

    @property
    def follows(self) -> str:
        """The digest of the file as it was before; empty for the first signature."""
        return signed_of(self.before[-1]).file_digest if self.before else ""


def countersign(
    place: Workplace,
    path: Path,
    pen: Pen,
    confirmed: tuple[str, ...] = (),
    turning: TurningPoint | None = None,
) -> Paper:
    """Sign a paper further: a new file beside it, whose name tells how many signatures it has.

    Parameters
    ----------
    path
        The paper with the signatures so far; it is kept as it is.
    pen
        An unlocked key, and the role in which its owner signs.
    confirmed
        Codes of the questions that were answered with yes.
    turning
        Lets somebody stop it until the signature is made.

    Raises
    ------
    AskFirst
        The paper shows an older state of the record (code ``older-record``), or what it says could not be
        compared with its journal (``not-compared``); nothing was signed.
    Stopped
        Somebody stopped it in time; no file was made.
    PaperRefused
        Not as the project's record has it, signed further, or not signed by that role; with the reasons.
    NotThisPerson, RevokedKey, OutsideValidity
        The key may not sign.
    WrongOrder, ClockProblem
        It is not this signature's turn, or the clock is behind an earlier signature.
    UnreadablePdf, FieldProblem, UnfitText
        The bytes are no whole PDF, its signature field cannot be filled, or what is signed does not fit it.
    OnlyReading
        The project was opened for looking only.
    Impossible, Refused, StoreProblem
        The file, the settings or the journal cannot be used.
    """
    place.writer()
    check_pen(place, pen)
    pdf = read_paper(path)
    found = verify_file(pdf, place)
    before = signatures_up_to(place.record(), found.file_digest)
    check_clock(place.now(), tuple(each.draft.observed_at for each in before))
    _refuse_bad(found, before)
    last = signed_of(before[-1])
    target = path.with_name(f"{_NUMBERED.sub('', path.stem)}-signed-{len(before) + 1}{path.suffix}")
    turn = Turn(
        target, last.paper, last.about, last.record_digest, step_of(last.paper, pen.role), before, confirmed
    )
    if target.exists():
        return take_up(place, turn, pdf)
    _refuse_signed_further(place, found)
    turning = turning or TurningPoint()
    turning.look()
    _ask_first(place, turn, found)
    turning.go_through()
    return sign_turn(place, pdf, turn, pen)


def step_of(kind: PaperKind, role: Role) -> Step:
    """The step of a role in the order of a kind.  Raises PaperRefused where it has none."""
    step = ORDERS[kind].step_of(role)
    if step is None:
        raise PaperRefused(
            said(
                "A {kind} is not signed by the {role}. Nothing was signed; its order is: {order}.",
                kind=word(kind),
                role=word(role),
                order=listed(each.role for each in ORDERS[kind].steps),
            )
        )
    return step


def next_role(place: Workplace, path: Path) -> Role | None:
    """The role whose turn it is on a paper, or None when the journal does not name it or it is closed."""
    return role_after(signatures_up_to(place.record(), hashlib.sha256(read_paper(path)).hexdigest()))


def role_after(before: tuple[Entry, ...]) -> Role | None:
    """The role whose turn it is after these signatures on a paper, or None when it is closed or has none."""
    if not before:
        return None
    step = ORDERS[signed_of(before[-1]).paper].next_after({signed_of(each).field for each in before})
    return step.role if step is not None else None


def check_pen(place: Workplace, pen: Pen) -> None:
    """Refuse somebody who is not on the roster in that role, or whose key may not sign now.

    Raises PaperRefused, NotThisPerson, RevokedKey, OutsideValidity.
    """
    name = pen.key.certificate.name
    person = place.setup().person(name)
    if person is None or pen.role not in person.roles:
        has = listed(person.roles) if person else said("nobody")
        raise PaperRefused(
            said(
                "{name} is to sign as {role}, and is {has} on the project's roster. Nothing was signed.",
                name=name,
                role=pen.role,
                has=has,
            )
        )
    check_may_sign(place.record(), person, pen.key, place.now())


def take_up(place: Workplace, turn: Turn, source: bytes = b"") -> Paper:
    """A signed file that is on disk already: its entry is made when the journal lacks it.

    ``source`` is the file as it was before the last signature.

    Raises
    ------
    PaperRefused
        The file on disk is not that paper with that signature; it is left as it is.
    Impossible, AskFirst, Refused, StoreProblem
        The file, the settings or the journal cannot be used.
    """
    pdf = read_paper(turn.path)
    digest = hashlib.sha256(pdf).hexdigest()
    known = signatures_up_to(place.record(), digest)
    if known:
        before = signed_of(known[-1])
        if (before.follows, before.field) == (turn.follows, turn.step.field_name):
            return Paper(turn.path, signed=True, new=False)
        raise PaperRefused(
            said(
                "{name} is there already, signed by {author} as {role}. Nothing was signed; "
                "sign that file instead.",
                name=turn.path.name,
                author=known[-1].draft.author,
                role=before.role,
            )
        )
    last = _own_last(place, pdf, turn)
    if last is None or not pdf.startswith(source):
        raise PaperRefused(
            said(
                "{name} is there already and is not this paper with the signature of the "
                "{role}. Nothing was signed; look where it comes from and move it away.",
                name=turn.path.name,
                role=turn.step.role,
            )
        )
    assert last.signer and last.fingerprint and last.signed_at
    _journal(place, turn, digest, _Made(last.signer, last.fingerprint, last.signed_at))
    return Paper(turn.path, signed=True, new=False)


def _own_last(place: Workplace, pdf: bytes, turn: Turn) -> SignatureFacts | None:
    """The last signature of a paper that is valid with exactly this turn's signatures, or None."""
    policy = policy_of(place.record(), turn.before, read_settings(), place.now(), turn.kind)
    mine = ExpectedSigner(turn.step.field_name, turn.step.role)
    policy = replace(policy, expected=(*(policy.expected or ()), mine), record_digest=turn.record_digest)
    found = verify_pdf(pdf, policy)
    return found.signatures[-1] if found.verdict is Verdict.VALID else None


@dataclass(frozen=True, slots=True)
class _Made:
    """A signature as it was made."""

    signer: str
    fingerprint: str
    at: datetime
    drawn: Drawing = ()


def sign_turn(place: Workplace, pdf: bytes, turn: Turn, pen: Pen) -> Paper:
    """Put a signature on a document, save it at ``turn.path``, and record that it was made.

    Raises
    ------
    PaperRefused
        The drawn signature is too long.
    NotThisPerson, OutsideValidity, WrongOrder, ClockProblem
        The key may not sign this, or it is not its turn.
    UnreadablePdf, FieldProblem, UnfitText
        The document cannot take the signature.
    Impossible, AskFirst, Refused, StoreProblem
        The settings or the journal cannot be used.  Once the file is there its entry is made at the next
        call.
    """
    now = place.now()
    name = pen.key.certificate.name
    request = SignRequest(
        field_name=turn.step.field_name,
        signer=SignerIdentity(name, pen.role),
        meaning=meaning_of(turn.kind, turn.step.role),
        signed_at=now,
        record_digest=turn.record_digest,
        certify=not turn.before,
        drawn=pen.drawn,
    )
    if len(drawn_text(pen.drawn)) > LONGEST_DRAWING:
        raise PaperRefused(
            said("The drawn signature is too long. Nothing was signed; draw it again, shorter.")
        )
    made = _Made(name, pen.key.certificate.fingerprint, now, pen.drawn)
    _values(turn, NO_ENTRY_BEFORE, made)  # what the journal cannot hold is refused before a file is there
    signed, note = _stamped(pdf, request, pen, ORDERS[turn.kind])
    save_paper(turn.path, signed)
    _journal(place, turn, hashlib.sha256(signed).hexdigest(), made)
    return Paper(turn.path, signed=True, new=True, note=note)


def _stamped(pdf: bytes, request: SignRequest, pen: Pen, order: SigningOrder) -> tuple[bytes, str]:
    """The signed document, with a trusted timestamp where one is set up and can be had."""
    server = read_settings().timestamp_server
    if not server:
        return sign_pdf(pdf, request, pen.key, order), ""
    try:
        return sign_pdf(pdf, request, pen.key, order, WebTimestamper(server)), ""
    except NoTimestamp:
        return sign_pdf(pdf, request, pen.key, order), NO_TIMESTAMP


def _journal(place: Workplace, turn: Turn, digest: str, made: _Made) -> Entry:
    values = _values(turn, digest, made)
    return record_entry(place, Saying(None, values, made.signer, made.at, turn.confirmed))


def _values(turn: Turn, digest: str, made: _Made) -> PaperSigned:
    return PaperSigned(
        paper=turn.kind,
        about=turn.about,
        file_name=turn.path.name,
        file_digest=digest,
        record_digest=turn.record_digest,
        field=turn.step.field_name,
        role=turn.step.role,
        fingerprint=made.fingerprint,
        follows=turn.follows,
        drawn=drawn_text(made.drawn),
    )


def drawn_text(drawing: Drawing) -> str:
    """The strokes as the journal keeps them: points ``x,y`` to a thousandth, strokes parted by ``;``."""
    return ";".join(" ".join(f"{x:.3f},{y:.3f}" for x, y in stroke) for stroke in drawing)


def _refuse_bad(found: PaperVerdict, before: tuple[Entry, ...]) -> None:
    """Refuse what the policy rejects or cannot tell; a broken release or a later state is told elsewhere.

    What could not be compared with the journal is asked about: another version of this program laid it out.
    """
    aside = {RecordFactName.RELEASE, RecordFactName.LATEST}
    asked = aside | FROM_ITS_JOURNAL
    wrong = [
        *(each.says for each in found.against if each.name not in aside),
        *(each.says for each in found.open if each.name not in asked),
    ]
    if wrong or not before:
        reasons = sentences(wrong)
        raise PaperRefused(
            said(
                "This paper is not as the project's record has it: {reasons} Nothing was signed.",
                reasons=reasons,
            )
        )


def _refuse_signed_further(place: Workplace, found: PaperVerdict) -> None:
    later = signed_further(place.record(), found.file_digest)
    if later:
        last = later[-1]
        raise PaperRefused(
            said(
                "{author} has signed this paper further as {role}. Nothing was signed; take "
                "that file, {file_name}.",
                author=last.draft.author,
                role=signed_of(last).role,
                file_name=signed_of(last).file_name,
            )
        )


def _ask_first(place: Workplace, turn: Turn, found: PaperVerdict) -> None:
    questions = (_if_older(place, turn, found), _if_not_compared(found))
    asked = tuple(each for each in questions if each is not None and each.code not in turn.confirmed)
    if asked:
        raise AskFirst(asked)


def _if_older(place: Workplace, turn: Turn, found: PaperVerdict) -> Objection | None:
    if turn.kind is PaperKind.PROJECT_SUMMARY:  # one signature and no further: nobody signs an older one
        return None
    shaft = place.shaft(turn.about)
    if shaft.digest == turn.record_digest:
        return None
    changed = said("The record of shaft {about} has changed since this paper was made.", about=turn.about)
    all_the_same = said("Sign the older state all the same?")
    says = sentences(each for each in (changed, since_said(found.journal, shaft), all_the_same) if each)
    expected = said("the present record, or your word that the older one is meant")
    return Objection(OLDER_RECORD, "record", says, turn.record_digest, expected)


def _if_not_compared(found: PaperVerdict) -> Objection | None:
    open_ones = tuple(each for each in found.open if each.name in FROM_ITS_JOURNAL)
    if not open_ones:
        return None
    says = said(
        "{why} Have you read the pages yourself, and do you sign them as they are?",
        why=sentences(dict.fromkeys(each.says for each in open_ones)),
    )
    expected = said("pages that this program can lay out anew, or your word that you have read them")
    return Objection(NOT_COMPARED, "record", says, str(open_ones[0].name), expected)
