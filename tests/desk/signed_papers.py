"""A project with keys that are pinned without the slow sealing, and papers that an insider could forge."""

from __future__ import annotations

import hashlib
import io
from dataclasses import replace
from datetime import datetime, timedelta

from reportlab.pdfgen import canvas

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.attached import attached_place
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.journal import (
    FILE_NAME,
    MIME_TYPE,
    NewerJournal,
    UnreadableJournal,
    read_paper_journal,
)
from fieldapp.desk.papers.logs import write_shaft_log
from fieldapp.desk.papers.paper import Paper, Pen
from fieldapp.desk.papers.printed import PRINTED_NAME, printed_facts, written_facts
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.attachments import AttachedFile, attach_file
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.pdf_signing import SignRequest, prepare_fields, sign_pdf
from fieldapp.identity.people import CertifiedPerson, SignerIdentity
from fieldapp.identity.sign_request import FieldPlace
from fieldapp.identity.signing_order import ORDERS
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.decisions import Basis, Position, Release
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.words import PaperKind, Role
from reports.shaft_log import shaft_log
from tests.desk.signed_work import say
from tests.identity.papers import PLACES, key_of
from tests.identity.signers import TERM

PEOPLE = {
    Role.INSPECTOR: "Inspector A",
    Role.RESIDENT_ENGINEER: "Resident engineer",
    Role.DESIGNER: "Designer",
}
MEANING = FORMS[PaperKind.SHAFT_LOG].meaning
HAND = (((0.0, 0.2), (0.25, 0.75), (1.0, 0.125)), ((0.5, 0.5),))


def new_key(role: Role, term: Term = TERM) -> UnlockedKey:
    return key_of(CertifiedPerson(PEOPLE[role], (role,), "Larkwater crossing"), term=term)


def pin(place: Workplace, role: Role, key: UnlockedKey) -> Pen:
    """Put a key's certificate on the roster, as making the key at this device would."""
    name, pem = PEOPLE[role], to_pem(key.x509_certificate)
    setup = place.setup()
    people = tuple(replace(each, certificate=pem) if each.name == name else each for each in setup.people)
    record_entry(place, Saying(None, replace(setup, people=people), name))
    return Pen(key, role)


def pin_all(place: Workplace) -> dict[Role, Pen]:
    return {role: pin(place, role, new_key(role)) for role in Role}


def basis(place: Workplace) -> Basis:
    """Everything that is in the journal now."""
    last = {each.device: each.seq for each in place.entries()}
    return Basis(tuple(Position(*each) for each in sorted(last.items())), place.shaft("P1-1").digest)


def release(place: Workplace, hours: float = 9) -> Entry:
    """The resident engineer releases concrete on all that is in the journal, with a reason."""
    until = place.now() + timedelta(hours=hours)
    values = Release(basis(place), until, reason="The rig stands by; sounded by hand.")
    return say(place, values, "Resident engineer")


def countersigning(place: Workplace, at: datetime) -> SignRequest:
    """What the resident engineer asks of another program."""
    who = SignerIdentity(PEOPLE[Role.RESIDENT_ENGINEER], Role.RESIDENT_ENGINEER)
    digest = place.shaft("P1-1").digest
    return SignRequest("ResidentEngineer", who, MEANING[Role.RESIDENT_ENGINEER], at, digest)


def page_with(digest: str) -> bytes:
    """A page that shows a digest at its foot and claims whatever an insider wants."""
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1)
    sheet.drawString(60, 740, "Shaft P1-1: base clean")
    sheet.drawString(60, 30, digest)
    sheet.showPage()
    sheet.save()
    return out.getvalue()


def insiders_paper(
    place: Workplace, pen: Pen, journal: bytes | None, digest: str, on_page: str | None = None
) -> bytes:
    """A paper that the inspector himself makes with another program, and gets into the journal.

    Its pages and its printed facts are those of the journal that he attaches, where it gives any; with
    ``on_page`` they are a page of his own.
    """
    made = None if on_page is not None else pages_of(journal)
    if made is None:
        page, places = page_with(digest if on_page is None else on_page), PLACES
        files = () if journal is None else (AttachedFile(FILE_NAME, journal),)
    else:
        page, places, printed = made
        files = (AttachedFile(FILE_NAME, journal or b""), AttachedFile(PRINTED_NAME, printed))
    pdf = signed_by_hand(place, pen, prepared_paper(page, files, places), digest)
    note_signed(place, pdf, pen, digest)
    return pdf


def pages_of(journal: bytes | None) -> tuple[bytes, tuple[FieldPlace, ...], bytes] | None:
    """The pages of a shaft log from a journal, the places of its fields, and what it states."""
    try:
        found = read_paper_journal(journal or b"")
        facts = shaft_facts(attached_place(found), found.shaft, found.as_of, "Inspector A")
    except (UnreadableJournal, NewerJournal, Impossible):
        return None
    report = shaft_log(facts)
    fields = tuple(FieldPlace(each.name, each.page_index, each.box_pt) for each in report.fields)
    return report.pdf, fields, written_facts(printed_facts(facts, PaperKind.SHAFT_LOG))


def prepared_paper(
    pages: bytes, files: tuple[AttachedFile, ...], places: tuple[FieldPlace, ...] = PLACES
) -> bytes:
    """Pages with files inside and empty signature fields."""
    for each in files:
        pages = attach_file(pages, each, MIME_TYPE)
    return prepare_fields(pages, places)


def signed_by_hand(
    place: Workplace, pen: Pen, prepared: bytes, digest: str, field: str = "Inspector"
) -> bytes:
    """The first signature on whatever somebody prepared, without asking the record."""
    order = next(each for each in ORDERS.values() if each.steps[0].field_name == field)
    request = SignRequest(
        field,
        SignerIdentity(PEOPLE[pen.role], pen.role),
        MEANING[pen.role],
        place.now(),
        digest,
        certify=True,
    )
    return sign_pdf(prepared, request, pen.key, order)


def note_signed(place: Workplace, pdf: bytes, pen: Pen, digest: str, **changes: str) -> Entry:
    """A `paper signed` entry as the device makes one, without its checks."""
    said = {
        "paper": PaperKind.SHAFT_LOG,
        "about": "P1-1",
        "file_name": "paper.pdf",
        "file_digest": hashlib.sha256(pdf).hexdigest(),
        "record_digest": digest,
        "field": "Inspector",
        "role": pen.role,
        "fingerprint": pen.key.certificate.fingerprint,
    }
    values = PaperSigned(**{**said, **changes})
    now = place.now()
    name = pen.key.certificate.name
    draft = Draft(place.clock.new_id(), place.project_id, None, values, now, now, name)
    (entry,) = place.append([draft])
    return entry


def certified(place: Workplace, pen: Pen) -> Paper:
    return write_shaft_log(place, "P1-1", shaft_now(place, "P1-1").at, "Inspector A", pen)


def signed_entries(place: Workplace) -> list[PaperSigned]:
    return [each.values for each in place.entries() if isinstance(each.values, PaperSigned)]
