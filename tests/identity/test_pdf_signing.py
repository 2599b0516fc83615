"""Signatures in a PDF, judged by programs that are not ours: pdfsig, openssl, pdfium."""

from __future__ import annotations

import re
import subprocess
from dataclasses import replace
from datetime import datetime, timedelta
from io import BytesIO

import pypdfium2
import pytest
from asn1crypto import cms
from asn1crypto.x509 import Certificate
from cryptography.hazmat.primitives.serialization import Encoding
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.diff_analysis import ModificationLevel
from pyhanko.sign.fields import enumerate_sig_fields
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from fieldapp.identity import certificates
from fieldapp.identity.errors import FieldProblem, NotThisPerson, OutsideValidity, UnfitText, UnreadablePdf
from fieldapp.identity.pdf_signing import FieldPlace, prepare_fields, sign_pdf
from fieldapp.identity.people import SignerIdentity
from fieldapp.identity.signing_order import SHAFT_LOG_ORDER, SigningOrder
from fieldapp.record.words import Role
from tests.identity.signers import ACCEPTED, DIGEST, RELEASED, SEEN, SITE, TERM

VALID = "Signature Validation: Signature is Valid."


def _pdfsig(binary, tmp_path, pdf: bytes) -> str:
    path = tmp_path / "signed.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([binary, path], capture_output=True, check=False)
    return done.stdout.decode("utf-8", "replace")


def _byte_range(pdf: bytes, which: int = -1) -> tuple[int, int, int, int]:
    found = re.findall(rb"/ByteRange \[\s*(\d+) (\d+) (\d+) (\d+)", pdf)[which]
    first, length, second, rest = (int(each) for each in found)
    return first, length, second, rest


def _signed_bytes(pdf: bytes, which: int = -1) -> tuple[bytes, bytes]:
    first, length, second, rest = _byte_range(pdf, which)
    container = bytes.fromhex(pdf[first + length + 1 : second - 1].decode("ascii"))
    return pdf[first : first + length] + pdf[second : second + rest], container


def _fields(pdf: bytes) -> dict[str, bool]:
    reader = PdfFileReader(BytesIO(pdf), strict=True)
    return {name: value is not None for name, value, _ in enumerate_sig_fields(reader)}


def test_pdfsig_says_that_the_signature_is_valid_and_covers_the_whole_file(certified, pdfsig, tmp_path):
    said = _pdfsig(pdfsig, tmp_path, certified)
    assert said.count(VALID) == 1
    assert "Signer Certificate Common Name: Inspector A" in said
    assert "Signature Type: ETSI.CAdES.detached" in said
    assert "Signing Hash Algorithm: SHA-256" in said
    assert "  - Total document signed" in said


@pytest.mark.parametrize("share", [0.02, 0.2, 0.4, 0.6, 0.8, 0.98])
@pytest.mark.parametrize("part", ["before the container", "after the container"])
def test_pdfsig_finds_one_flipped_bit_in_what_was_signed(certified, pdfsig, tmp_path, part, share):
    first, length, second, rest = _byte_range(certified)
    start, span = (first, length) if part == "before the container" else (second, rest)
    changed = bytearray(certified)
    changed[start + int(share * span)] ^= 0x01
    assert VALID not in _pdfsig(pdfsig, tmp_path, bytes(changed))


def test_pdfsig_finds_a_changed_time_reason_or_page(certified, pdfsig, tmp_path):
    for old, new in ((b"20260504143205", b"20260504133205"), (b"recorded as seen", b"recorded as sean")):
        assert certified.count(old) >= 1
        said = _pdfsig(pdfsig, tmp_path, certified.replace(old, new))
        assert "Signature #1" in said
        assert VALID not in said


def test_openssl_verifies_the_cut_out_bytes_against_the_signers_certificate(
    certified, inspector, openssl, tmp_path
):
    content, container = _signed_bytes(certified)
    root = tmp_path / "root.pem"
    root.write_text(certificates.to_pem(inspector.x509_certificate))
    (tmp_path / "container.der").write_bytes(container)
    when = str(int(SEEN.signed_at.timestamp()))
    flipped = bytearray(content)
    flipped[len(content) // 2] ^= 0x01
    for signed, accepted in ((content, True), (bytes(flipped), False)):
        (tmp_path / "content.bin").write_bytes(signed)
        command = [openssl, "cms", "-verify", "-cades", "-binary", "-inform", "DER", "-purpose", "any"]
        command += ["-in", tmp_path / "container.der", "-content", tmp_path / "content.bin"]
        command += ["-CAfile", root, "-attime", when, "-out", tmp_path / "out.bin"]
        done = subprocess.run(command, capture_output=True, check=False)
        assert (done.returncode == 0) is accepted, done.stderr


def test_the_container_holds_what_pades_asks_for_and_no_time_of_its_own(certified):
    # EN 319 142-1, baseline level B: content type, digest, signing certificate v2; the time stands in /M
    _, container = _signed_bytes(certified)
    signer = cms.ContentInfo.load(container)["content"]["signer_infos"][0]
    attributes = {each["type"].native for each in signer["signed_attrs"]}
    assert {"content_type", "message_digest", "signing_certificate_v2"} <= attributes
    assert "signing_time" not in attributes
    assert signer["digest_algorithm"]["algorithm"].native == "sha256"
    assert signer["signature_algorithm"]["algorithm"].native == "sha256_ecdsa"


def test_the_signature_states_name_meaning_place_and_the_time_that_was_given(certified):
    reader = PdfFileReader(BytesIO(certified), strict=True)
    signature = reader.embedded_regular_signatures[0].sig_object
    assert signature["/SubFilter"] == "/ETSI.CAdES.detached"
    assert signature["/Name"] == "Inspector A"
    assert (
        signature["/Reason"] == f"Inspector: recorded as seen (signed as inspector, record SHA-256 {DIGEST})"
    )
    assert signature["/Location"] == "Pier 4"
    assert signature["/M"] == "D:20260504143205-05'00'"


def test_each_step_keeps_every_byte_of_the_one_before(page, prepared, certified, engineer):
    released = sign_pdf(certified, RELEASED, engineer)
    assert prepared.startswith(page)
    assert certified.startswith(prepared)
    assert released.startswith(certified)
    assert len(page) < len(prepared) < len(certified) < len(released)


def test_the_inspector_certifies_and_later_only_fields_may_be_filled(certified):
    reader = PdfFileReader(BytesIO(certified), strict=True)
    signature = reader.root["/Perms"]["/DocMDP"]
    assert signature == reader.embedded_regular_signatures[0].sig_object
    (reference,) = signature["/Reference"]
    assert reference["/TransformMethod"] == "/DocMDP"
    assert reference["/TransformParams"]["/P"] == 2  # ISO 32000-2, table 257: fill in forms and sign


def test_the_fields_of_engineer_and_designer_stay_empty_and_in_place_after_the_inspector(
    prepared, certified, pdfsig, tmp_path
):
    assert _fields(prepared) == {"Inspector": False, "ResidentEngineer": False, "Designer": False}
    assert _fields(certified) == {"Inspector": True, "ResidentEngineer": False, "Designer": False}
    assert _pdfsig(pdfsig, tmp_path, certified).count("The signature form field is not signed.") == 2


@pytest.fixture(scope="module")
def signed_by_all(certified, engineer) -> bytes:
    return sign_pdf(sign_pdf(certified, RELEASED, engineer), ACCEPTED, engineer)


def test_three_signatures_are_all_valid_and_the_last_covers_the_whole_file(signed_by_all, pdfsig, tmp_path):
    said = _pdfsig(pdfsig, tmp_path, signed_by_all)
    assert said.count(VALID) == 3
    assert said.count("Not total document signed") == 2
    assert said.count("  - Total document signed") == 1


def test_later_signatures_count_as_filling_fields_and_not_as_changes(
    signed_by_all, inspector, engineer, authority
):
    roots = [
        Certificate.load(each.public_bytes(Encoding.DER))
        for each in (inspector.x509_certificate, authority.certificate)
    ]
    reader = PdfFileReader(BytesIO(signed_by_all), strict=True)
    for signature in reader.embedded_regular_signatures:
        context = ValidationContext(trust_roots=roots, allow_fetching=False, moment=ACCEPTED.signed_at)
        status = validate_pdf_signature(signature, context)
        assert status.bottom_line, status.pretty_print_details()
        assert status.docmdp_ok
        assert status.modification_level in (ModificationLevel.NONE, ModificationLevel.FORM_FILLING)


def test_the_authoritys_certificate_does_not_travel_in_the_signature(certified, engineer):
    _, container = _signed_bytes(sign_pdf(certified, RELEASED, engineer))
    held = cms.ContentInfo.load(container)["content"]["certificates"]
    assert [each.chosen.subject.native["common_name"] for each in held] == ["Engineer B"]


def test_signing_a_field_that_closes_ends_the_document(prepared, certified, engineer, inspector):
    optional = SigningOrder(tuple(replace(each, required=False) for each in SHAFT_LOG_ORDER.steps))
    closed = sign_pdf(certified, ACCEPTED, engineer, optional)
    with pytest.raises(FieldProblem, match="closed this document"):
        sign_pdf(closed, RELEASED, engineer)
    reader = PdfFileReader(BytesIO(closed), strict=True)
    (lock,) = [
        ref.get_object()["/Lock"] for name, _, ref in enumerate_sig_fields(reader) if name == "Designer"
    ]
    assert (lock["/Action"], lock["/P"]) == ("/All", 1)


def _flat(pdf: bytes) -> pypdfium2.PdfPage:
    # flattening puts what the fields show into the page, where pdfium reads it as text and draws it in grey
    document = pypdfium2.PdfDocument(pdf)
    document.init_forms()
    document[1].flatten()
    return document[1]


def _text_in(pdf: bytes, box) -> str:
    return _flat(pdf).get_textpage().get_text_bounded(*box)


def test_the_paper_shows_name_role_meaning_time_with_offset_and_record_inside_the_box(certified):
    shown = _text_in(certified, (60, 60, 215, 124)).split("\r\n")
    assert shown == [
        "Inspector A",
        "Inspector",
        "Inspector: recorded as seen",
        "2026-05-04 14:32:05 UTC-05:00",
        "Record 0123456789abcdef",
    ]


def test_nothing_is_drawn_outside_the_box_or_in_another_colour_than_black(certified, prepared):
    scale = 4
    plain, signed = (
        _flat(each).render(scale=scale).to_pil().convert("RGB") for each in (prepared, certified)
    )
    box = (60 * scale, (792 - 124) * scale, 215 * scale, (792 - 60) * scale)
    inside = signed.crop(box)
    assert inside.convert("L").getextrema() == (0, 255)
    assert inside.convert("L").convert("RGB").tobytes() == inside.tobytes()
    inside.paste((255, 255, 255), (scale, scale, inside.width - scale, inside.height - scale))
    assert inside.convert("L").getextrema() == (255, 255), "no frame at the edge of the box"
    signed.paste((255, 255, 255), box)
    assert signed.tobytes() == plain.tobytes()


def test_a_long_meaning_is_wrapped_and_stays_inside_the_box(prepared, inspector):
    long = replace(
        SEEN,
        meaning="Inspector: recorded as seen, with 100 % of the soundings (12) made again after the cage",
    )
    shown = _text_in(sign_pdf(prepared, long, inspector), (60, 60, 215, 124))
    assert " ".join(shown.split()) == (
        "Inspector A Inspector Inspector: recorded as seen, with 100 % of the soundings (12) made again "
        "after the cage 2026-05-04 14:32:05 UTC-05:00 Record 0123456789abcdef"
    )


def test_letters_that_the_font_lacks_are_shown_plainly_and_said_to_be_incomplete(prepared, inspector):
    request = replace(SEEN, meaning="Gesehen – Schäkel žďár 田", lines=())
    shown = _text_in(sign_pdf(prepared, request, inspector), (60, 60, 215, 124)).split("\r\n")
    assert "Gesehen - Schäkel zdár ?" in shown
    assert shown[-1] == "(full text: see certificate)"


def test_more_text_than_the_box_can_show_legibly_is_refused(prepared, inspector):
    with pytest.raises(FieldProblem, match="155 by 64 points is too small"):
        sign_pdf(prepared, replace(SEEN, lines=("a line of its own",) * 6), inspector)


def test_a_key_signs_for_its_own_person_and_role_only(prepared, inspector):
    for signer in (
        SignerIdentity("Engineer B", Role.INSPECTOR),
        SignerIdentity("Inspector A", Role.DESIGNER),
    ):
        with pytest.raises(NotThisPerson, match="The key is of Inspector A"):
            sign_pdf(prepared, replace(SEEN, signer=signer), inspector)


def test_a_time_outside_the_certificate_is_refused(prepared, inspector):
    for moment in (TERM.valid_from - timedelta(seconds=1), TERM.valid_until + timedelta(seconds=1)):
        with pytest.raises(OutsideValidity, match="check the clock of the tablet"):
            sign_pdf(prepared, replace(SEEN, signed_at=moment), inspector)


def test_a_field_is_signed_once_and_must_exist(prepared, certified, inspector):
    with pytest.raises(FieldProblem, match="is signed already"):
        sign_pdf(certified, replace(SEEN, certify=False), inspector)
    with pytest.raises(FieldProblem, match="no signature field 'Owner'"):
        sign_pdf(prepared, replace(SEEN, field_name="Owner"), inspector)


def test_a_page_without_prepared_fields_is_not_signed(page, inspector):
    with pytest.raises(FieldProblem, match="no signature field 'Inspector'"):
        sign_pdf(page, SEEN, inspector)


def test_only_the_first_signature_certifies(certified, engineer):
    with pytest.raises(FieldProblem, match="Only the first signature certifies"):
        sign_pdf(certified, replace(RELEASED, certify=True), engineer)


def test_fields_are_not_added_to_a_signed_document_or_twice_or_to_a_page_that_is_not_there(
    page, prepared, certified
):
    place = FieldPlace("Owner", 0, (60, 300, 215, 364))
    with pytest.raises(FieldProblem, match="signed already"):
        prepare_fields(certified, (place,))
    with pytest.raises(FieldProblem, match="'Inspector' already"):
        prepare_fields(prepared, (replace(place, name="Inspector"),))
    with pytest.raises(FieldProblem, match="'Owner' already"):
        prepare_fields(page, (place, place))
    with pytest.raises(FieldProblem, match="page 3 of 2"):
        prepare_fields(page, (replace(place, page_index=2),))
    with pytest.raises(FieldProblem, match="no size"):
        replace(place, box_pt=(60, 300, 60, 364))


def test_what_is_no_whole_pdf_is_refused_with_a_sentence(page, prepared, inspector):
    for broken in (
        b"",
        b"not a PDF",
        prepared[:-40],
        prepared[: len(prepared) // 2],
        b"%PDF-1.4\n%%EOF\n",
        page[100:],
    ):
        with pytest.raises(UnreadablePdf, match="not a whole PDF"):
            sign_pdf(broken, SEEN, inspector)
        with pytest.raises(UnreadablePdf, match="not a whole PDF"):
            prepare_fields(broken, (FieldPlace("Owner", 0, (60, 300, 215, 364)),))


def test_a_request_needs_an_offset_a_meaning_and_a_whole_digest():
    naive = datetime(2026, 5, 4, 14, 32, tzinfo=SITE).replace(tzinfo=None)
    for wrong in (
        {"signed_at": naive},
        {"meaning": " "},
        {"record_digest": DIGEST[:16]},
        {"record_digest": DIGEST.upper()},
    ):
        with pytest.raises(UnfitText):
            replace(SEEN, **wrong)
