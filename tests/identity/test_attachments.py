"""Files inside a PDF: taken out whole, and refused when they could fill the memory."""

from __future__ import annotations

import zlib

import pytest
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.generic import pdf_name

from fieldapp.identity.attachments import AttachedFile, attached_files
from fieldapp.identity.errors import UnreadableAttachment, UnreadablePdf
from fieldapp.identity.pdf_signing import prepare_fields, sign_pdf
from tests.identity.attacks import added
from tests.identity.papers import PLACES, key_of, plain_paper, with_file
from tests.identity.signers import INSPECTOR, SEEN


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
