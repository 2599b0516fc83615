"""Files inside a PDF: put in before signing, taken out whole, refused when they could fill the memory."""

from __future__ import annotations

import base64
import io
import re
import time
import zlib

import pypdfium2
import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.generic import pdf_name
from reportlab.pdfgen import canvas

from fieldapp.identity.attachments import AttachedFile, attach_file, attached_files
from fieldapp.identity.errors import FieldProblem, UnreadableAttachment, UnreadablePdf
from fieldapp.identity.page_digests import digests_on_pages
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from fieldapp.identity.verification import Verdict
from fieldapp.identity.verifying import verify_pdf
from tests.identity.attacks import added
from tests.identity.papers import PLACES, key_of, plain_paper, policy_for, with_file
from tests.identity.signers import DIGEST, INSPECTOR, SEEN


def test_a_paper_without_files_has_none():
    assert attached_files(plain_paper()) == ()


def test_attached_files_come_out_byte_by_byte_before_and_after_signing():
    journal, record = bytes(range(256)) * 40, b'{"shaft": "P4-2"}'
    paper = with_file(with_file(plain_paper(), "record.json", record), "journal.bin", journal)
    signed = sign_pdf(prepare_fields(paper, PLACES), SEEN, key_of(INSPECTOR))
    for pdf in (paper, signed):
        found = attached_files(pdf)
        assert sorted(found, key=lambda each: each.name) == [
            AttachedFile("journal.bin", journal),
            AttachedFile("record.json", record),
        ]


def test_files_that_unpack_to_more_than_the_limit_are_refused():
    paper = with_file(plain_paper(), "zeros.bin", bytes(3_000_000))
    assert len(paper) < 20_000
    assert len(attached_files(paper, 3_000_000)[0].data) == 3_000_000
    with pytest.raises(UnreadableAttachment, match="more than 2999999 bytes"):
        attached_files(paper, 2_999_999)
    with pytest.raises(UnreadableAttachment):
        attached_files(with_file(paper, "more.bin", bytes(100)), 3_000_050)


def _with_stream(packed: bytes) -> bytes:
    def change(writer) -> None:
        held = generic.StreamObject(encoded_data=packed)
        held["/Filter"] = pdf_name("/FlateDecode")
        writer.root["/Names"]["/EmbeddedFiles"]["/Names"][1]["/EF"]["/F"] = writer.add_object(held)
        writer.update_container(writer.root["/Names"]["/EmbeddedFiles"]["/Names"][1]["/EF"])

    return added(with_file(plain_paper(), "record.json", b"{}"), change)


def test_a_cut_or_damaged_file_is_refused():
    packed = zlib.compress(b"record" * 100)
    assert attached_files(_with_stream(packed))[0].data == b"record" * 100
    with pytest.raises(UnreadableAttachment, match="that is cut"):
        attached_files(_with_stream(packed[:-6]))
    with pytest.raises(UnreadableAttachment, match="that is damaged"):
        attached_files(_with_stream(b"no such stream"))


def test_what_is_no_pdf_has_no_files():
    with pytest.raises(UnreadablePdf):
        attached_files(b"%PDF-1.4\n%%EOF\n")


def test_a_tree_of_names_that_leads_back_to_itself_ends():
    def change(writer) -> None:
        tree = writer.root["/Names"]["/EmbeddedFiles"]
        reference = writer.root["/Names"].raw_get("/EmbeddedFiles")
        tree["/Kids"] = generic.ArrayObject([reference, reference])
        writer.update_container(tree)

    with pytest.raises(UnreadableAttachment, match="more attached files"):
        attached_files(added(with_file(plain_paper(), "record.json", b"{}"), change))


JOURNAL = AttachedFile("journal.json", b'{"shaft":"P4-2"}' * 500)


def with_journal(pdf: bytes) -> bytes:
    return attach_file(pdf, JOURNAL, "application/json")


def test_a_file_that_was_put_in_comes_out_and_the_signed_paper_is_whole():
    paper = plain_paper()
    prepared = with_journal(paper)
    assert prepared.startswith(paper)
    key = key_of(INSPECTOR)
    signed = sign_pdf(prepare_fields(prepared, PLACES), SEEN, key)
    assert attached_files(signed) == (JOURNAL,)
    assert verify_pdf(signed, policy_for(key)).verdict is Verdict.VALID
    with pypdfium2.PdfDocument(signed) as document:
        assert document.count_attachments() == 1
        outside = document.get_attachment(0)
        assert (outside.get_name(), bytes(outside.get_data())) == (JOURNAL.name, JOURNAL.data)


def test_the_same_file_in_the_same_paper_gives_the_same_bytes_at_any_time():
    made = [prepare_fields(with_journal(plain_paper()), PLACES)]
    time.sleep(1.1)  # a date in the file would tell whole seconds
    made.append(prepare_fields(with_journal(plain_paper()), PLACES))
    assert made[0] == made[1]
    other = attach_file(plain_paper(), AttachedFile("journal.json", b"{}"), "application/json")
    ids = [re.findall(rb"/ID \[ <(\w+)> <(\w+)> \]", each)[0] for each in (made[0], other)]
    assert ids[0][0] == ids[1][0]
    assert ids[0][1] != ids[1][1]


def test_nothing_is_put_into_a_signed_paper_or_twice():
    signed = sign_pdf(prepare_fields(plain_paper(), PLACES), SEEN, key_of(INSPECTOR))
    with pytest.raises(FieldProblem, match="signed already"):
        with_journal(signed)
    with pytest.raises(UnreadableAttachment, match=r"'journal\.json' already"):
        with_journal(with_journal(plain_paper()))
    with pytest.raises(UnreadablePdf):
        with_journal(b"no PDF")


def _pages(*texts: str, compressed: int = 1) -> bytes:
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1, pageCompression=compressed)
    for text in texts:
        sheet.drawString(60, 30, text)
        sheet.showPage()
    sheet.save()
    return out.getvalue()


@pytest.mark.parametrize("compressed", [0, 1])
def test_digests_are_read_from_each_page(compressed):
    pdf = _pages(DIGEST, f"record {DIGEST}", DIGEST[:63], compressed=compressed)
    assert digests_on_pages(pdf) == (frozenset({DIGEST}), frozenset(), frozenset())
    assert digests_on_pages(with_journal(pdf)) == digests_on_pages(pdf)


def test_pages_that_unpack_to_too_much_or_are_packed_otherwise_are_not_read():
    pdf = _pages(DIGEST)
    with pytest.raises(UnreadablePdf):
        digests_on_pages(pdf, 50)
    packed = base64.a85encode(zlib.compress(zlib.compress(bytes(2**20)))) + b"~>"

    def change(writer) -> None:
        page = writer.root["/Pages"]["/Kids"][0].get_object()
        held = generic.StreamObject(encoded_data=packed)
        names = ("/ASCII85Decode", "/FlateDecode", "/FlateDecode")
        held["/Filter"] = generic.ArrayObject([pdf_name(each) for each in names])
        page["/Contents"] = writer.add_object(held)
        writer.update_container(page)

    for bad in (added(pdf, change), b"%PDF-1.4\n%%EOF\n"):
        with pytest.raises(UnreadablePdf):
            digests_on_pages(bad)
