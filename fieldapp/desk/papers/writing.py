"""Papers of a shaft: laid out from the record, certified by whom their order asks, saved whole.

The file's name carries kind, the moment that findings and release are of, and the first letters of the record
digest, so a paper is written once for each state of the record; one that exists is kept as it is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fieldapp.desk.papers.forms import PaperForm
from fieldapp.desk.papers.journal import FILE_NAME, MIME_TYPE, paper_journal, written
from fieldapp.desk.papers.paper import Paper, Pen
from fieldapp.desk.papers.printed import PRINTED_NAME, printed_facts, written_facts
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.store.papers import save_paper

if TYPE_CHECKING:
    from fieldapp.desk.papers.signing import Turn
    from reports.facts import Report, ShaftFacts


@dataclass(frozen=True, slots=True)
class Wanted:
    """The paper that is wanted: its form, of which shaft, as of when, and by whom it is printed."""

    form: PaperForm
    shaft: str
    at: datetime
    printed_by: str


def write_paper(place: Workplace, wanted: Wanted, pen: Pen | None = None) -> Paper:
    """Write a paper of a shaft into the project's reports, with its journal and its printed facts attached.

    With a pen it is certified by the person who holds it, and the journal says so; that takes a project that
    is open for work.  A signed paper that the journal does not name yet (the program died in between) is
    taken up.

    Raises
    ------
    UnknownShaft, Impossible
        There is no such shaft, or the project has no set-up.
    UnreadableAttachment, StoreProblem
        The journal cannot be attached, or the file cannot be written; an earlier paper stays as it was.
    What `certified` raises
        With a pen: it may not sign this, or the journal cannot say so.
    """
    path = _path_of(place, wanted, "signed" if pen is not None else "unsigned")
    if pen is not None:
        return _certified(place, wanted, path, pen)
    if path.exists():
        return Paper(path, signed=False, new=False)
    facts = _facts(place, wanted)
    save_paper(path, _with_attached(place, wanted, facts, wanted.form.lays_out(facts)))
    return Paper(path, signed=False, new=True)


def _path_of(place: Workplace, wanted: Wanted, state: str) -> Path:
    digest = place.shaft(wanted.shaft).digest
    name = (
        f"{file_name_of(wanted.shaft)}-{wanted.form.short}-{wanted.at:%Y%m%d-%H%M}-{digest[:12]}-{state}.pdf"
    )
    return place.folder / "reports" / name


def _facts(place: Workplace, wanted: Wanted) -> ShaftFacts:
    return shaft_facts(place, wanted.shaft, wanted.at, wanted.printed_by, wanted.form.kind)


def _certified(place: Workplace, wanted: Wanted, path: Path, pen: Pen) -> Paper:
    from fieldapp.desk.papers.signing import Turn  # noqa: PLC0415 - slow to import, and only signing needs it

    form = wanted.form
    turn = Turn(path, form.kind, wanted.shaft, place.shaft(wanted.shaft).digest, form.order.steps[0])

    def laid_out(printed_by: str) -> tuple[bytes, Report]:
        facts = _facts(place, replace(wanted, printed_by=printed_by))
        report = form.lays_out(facts)
        return _with_attached(place, wanted, facts, report), report

    return certified(place, turn, pen, laid_out)


def certified(
    place: Workplace, turn: Turn, pen: Pen, laid_out: Callable[[str], tuple[bytes, Report]]
) -> Paper:
    """The first signature on a paper, saved at ``turn.path`` and journalled; one that is there is taken up.

    ``laid_out`` gives, for who prints it, the pages with what is attached and the pages alone.

    Raises
    ------
    OnlyReading
        The project was opened for looking only.
    PaperRefused, NotThisPerson, RevokedKey, OutsideValidity
        The signer is not on the roster in that role, the key may not sign, or another file has that name.
    UnreadablePdf, FieldProblem, WrongOrder, ClockProblem, UnfitText
        The pages cannot take the signature.
    Impossible, AskFirst, Refused, StoreProblem, and what ``laid_out`` raises
        The settings or the journal cannot be used, or there are no pages.
    """
    # slow to import, and only signing needs them
    from fieldapp.desk.papers.signing import check_pen, sign_turn, take_up  # noqa: PLC0415
    from fieldapp.identity.pdf_signing import prepare_fields  # noqa: PLC0415
    from fieldapp.identity.sign_request import FieldPlace  # noqa: PLC0415
    from fieldapp.identity.signing_order import ORDERS  # noqa: PLC0415

    place.writer()
    # who may sign is asked of the record as it is, also where the paper is of an earlier moment
    present = place if place.until is None else replace(place, until=None)
    if turn.path.exists():
        return take_up(present, turn)
    check_pen(present, pen)
    pdf, report = laid_out(pen.key.certificate.name)
    closing = ORDERS[turn.kind].closing_field
    places = tuple(
        FieldPlace(each.name, each.page_index, each.box_pt, closes=each.name == closing)
        for each in report.fields
    )
    return sign_turn(present, prepare_fields(pdf, places), turn, pen)


def _with_attached(place: Workplace, wanted: Wanted, facts: ShaftFacts, report: Report) -> bytes:
    """The pages with the journal that they come from, and what they say of it as plain data."""
    from fieldapp.identity.attachments import AttachedFile, attach_file  # noqa: PLC0415 - slow to import

    journal = paper_journal(place.around(wanted.shaft), wanted.shaft, facts.at, place.until)
    pdf = attach_file(report.pdf, AttachedFile(FILE_NAME, written(journal)), MIME_TYPE)
    printed = written_facts(printed_facts(facts, wanted.form.kind))
    return attach_file(pdf, AttachedFile(PRINTED_NAME, printed), MIME_TYPE)
