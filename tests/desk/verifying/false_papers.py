"""Papers that somebody with a rightful key makes false before he signs them."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from pyhanko.pdf_utils.generic import (
    ArrayObject,
    DictionaryObject,
    NumberObject,
    StreamObject,
    TextStringObject,
    pdf_name,
)
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

from fieldapp.desk.papers.attached import attached_place
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.journal import FILE_NAME, PaperJournal, paper_journal, written
from fieldapp.desk.papers.printed import PRINTED_NAME, PrintedFacts, printed_facts, written_facts
from fieldapp.desk.papers.record_fact import RecordFactName
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.papers.verifying import PaperVerdict, verify_file
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.attachments import AttachedFile
from fieldapp.identity.sign_request import FieldPlace
from fieldapp.record.words import PaperKind
from reports.facts import ShaftFacts
from tests.desk.signed_papers import note_signed, prepared_paper, signed_by_hand
from tests.desk.verifying.made_papers import MORNING, Made

TEXT = re.compile(rb"(?<=\()[^()\\]{4,}(?=\) Tj)")


@dataclass(frozen=True)
class Makings:
    """All that a paper is made of; with one of them changed it is a false one."""

    journal: PaperJournal
    printed: PrintedFacts | None
    facts: ShaftFacts
    kind: PaperKind = PaperKind.SHAFT_LOG

    def with_kind(self, kind: PaperKind) -> Makings:
        """Pages of another kind; what is stated stays."""
        return replace(self, kind=kind)

    def prepared(self, stated: bytes | None = None) -> bytes:
        """The paper, ready to be signed; ``stated`` are other bytes in place of the printed facts."""
        report = FORMS[self.kind].lays_out(self.facts)
        places = tuple(FieldPlace(each.name, each.page_index, each.box_pt) for each in report.fields)
        held = stated if stated is not None else written_facts(self.printed) if self.printed else None
        files = [AttachedFile(FILE_NAME, written(self.journal))]
        if held is not None:
            files.append(AttachedFile(PRINTED_NAME, held))
        return prepared_paper(report.pdf, tuple(files), places)


def makings(place: Workplace, kind: PaperKind = PaperKind.SHAFT_LOG, shaft: str = "P1-1") -> Makings:
    """What an honest paper of the record is made of."""
    journal = paper_journal(place.entries(), shaft, MORNING)
    facts = shaft_facts(attached_place(journal), shaft, MORNING, "Inspector A", kind)
    return Makings(journal, printed_facts(facts, kind), facts, kind)


def signed_and_noted(place: Workplace, made: Made, prepared: bytes, kind: PaperKind) -> PaperVerdict:
    """What is found of a prepared paper that its rightful first signer signs, and the journal names."""
    form = FORMS[kind]
    pen = made.pens[form.first_role]
    digest = place.shaft("P1-1").digest
    field = form.order.steps[0].field_name
    pdf = signed_by_hand(place, pen, prepared, digest, field)
    note_signed(place, pdf, pen, digest, paper=kind, field=field)
    return verify_file(pdf, place)


def says_of(found: PaperVerdict, name: RecordFactName) -> str:
    """The sentence of one fact."""
    return next(each.says for each in found.record if each.name is name)


def changed(pdf: bytes, change: Callable[[IncrementalPdfFileWriter], None]) -> bytes:
    """The file with one more revision, made by a strange program before anybody signs."""
    writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def page_of(writer: IncrementalPdfFileWriter, number: int) -> Any:
    return writer.root["/Pages"]["/Kids"][number - 1].get_object()


def one_letter(number: int) -> Callable[[IncrementalPdfFileWriter], None]:
    """Two neighbouring letters or digits of one text on a page change places."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        page = page_of(writer, number)
        drawn = page["/Contents"].data
        text = next(each for each in TEXT.finditer(drawn) if each[0][1] != each[0][2])
        turned = bytes((text[0][0], text[0][2], text[0][1], *text[0][3:]))
        false = drawn[: text.start()] + turned + drawn[text.end() :]
        page["/Contents"] = writer.add_object(StreamObject(stream_data=false))
        writer.update_container(page)

    return change


def note_upon(number: int, kind: str = "/FreeText") -> Callable[[IncrementalPdfFileWriter], None]:
    """Something laid over a page, which covers what it says."""

    def change(writer: IncrementalPdfFileWriter) -> None:
        page = page_of(writer, number)
        note = DictionaryObject(
            {
                pdf_name("/Type"): pdf_name("/Annot"),
                pdf_name("/Subtype"): pdf_name(kind),
                pdf_name("/Rect"): ArrayObject(map(NumberObject, (50, 700, 300, 760))),
                pdf_name("/Contents"): TextStringObject("base clean"),
            }
        )
        marks = ArrayObject(
            [*(page.raw_get("/Annots") if "/Annots" in page else ()), writer.add_object(note)]
        )
        page["/Annots"] = marks
        writer.update_container(page)

    return change


def moved_field(writer: IncrementalPdfFileWriter) -> None:
    """The signature field moves up over the findings, with room for whatever it then shows."""
    last = writer.root["/Pages"]["/Kids"][-1].get_object()
    mark = last["/Annots"][0]
    mark["/Rect"] = ArrayObject(map(NumberObject, (40, 300, 560, 760)))
    writer.update_container(mark)


def cut_page(writer: IncrementalPdfFileWriter) -> None:
    """The second page shows its upper half only."""
    page = page_of(writer, 2)
    page["/CropBox"] = ArrayObject(map(NumberObject, (0, 400, 612, 792)))
    writer.update_container(page)


def turned_in_the_tree(writer: IncrementalPdfFileWriter) -> None:
    """Every page is cut by the tree that it stands in."""
    tree = writer.root["/Pages"]
    tree["/CropBox"] = ArrayObject(map(NumberObject, (0, 400, 612, 792)))
    writer.update_container(tree)


def other_form(writer: IncrementalPdfFileWriter) -> None:
    """A form of another kind, which some programs show in place of the pages."""
    writer.root["/AcroForm"]["/XFA"] = writer.add_object(StreamObject(stream_data=b"<xdp/>"))
    writer.update_container(writer.root["/AcroForm"])


def script(writer: IncrementalPdfFileWriter) -> None:
    """Something that runs when the paper is opened."""
    action = {pdf_name("/S"): pdf_name("/JavaScript"), pdf_name("/JS"): TextStringObject("x()")}
    writer.root["/OpenAction"] = DictionaryObject(action)
    writer.update_root()


def page_left_out(writer: IncrementalPdfFileWriter) -> None:
    """The second page is gone."""
    tree = writer.root["/Pages"]
    del tree["/Kids"][1]
    tree["/Count"] = NumberObject(len(tree["/Kids"]))
    writer.update_container(tree)


def same_again(writer: IncrementalPdfFileWriter) -> None:
    """The second page is written anew, packed in no way: nothing of it is other to the eye."""
    page = page_of(writer, 2)
    page["/Contents"] = writer.add_object(StreamObject(stream_data=page["/Contents"].data))
    writer.update_container(page)


def stated_twice(writer: IncrementalPdfFileWriter) -> None:
    """The file with the printed facts stands a second time in the list of attached files."""
    names = writer.root["/Names"]["/EmbeddedFiles"]["/Names"]
    at = next(i for i in range(0, len(names), 2) if str(names[i]) == PRINTED_NAME)
    names.extend([names.raw_get(at), names.raw_get(at + 1)])
    writer.update_container(names)
