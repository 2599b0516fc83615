"""Inspector, resident engineer, designer: in this order, resumable, with a hand-drawn signature."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from io import BytesIO

import pypdfium2
import pytest
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.fields import enumerate_sig_fields

from fieldapp.identity import pdf_signing
from fieldapp.identity.errors import ClockProblem, UnfitText, WrongOrder
from fieldapp.identity.pdf_signing import FieldPlace, prepare_fields, sign_pdf
from fieldapp.identity.people import SignerIdentity
from fieldapp.identity.signing_order import SHAFT_LOG_ORDER, SigningOrder, Step
from fieldapp.identity.verification import Verdict
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.words import Role
from tests.identity.papers import PLACES, key_of, plain_paper, policy_for, prepared_paper
from tests.identity.signers import ACCEPTED, ENGINEER, INSPECTOR, RELEASED, SEEN

HAND = (((0.0, 0.2), (0.2, 0.7), (0.3, 0.1), (0.6, 0.6)), ((0.7, 0.4), (1.0, 0.4)), ((0.5, 0.9),))


@pytest.fixture(scope="module")
def keys():
    return key_of(INSPECTOR), key_of(ENGINEER)


@pytest.fixture(scope="module")
def certified(keys) -> bytes:
    return sign_pdf(prepared_paper(), SEEN, keys[0])


def test_nobody_signs_before_the_one_who_comes_first(certified, keys):
    with pytest.raises(WrongOrder, match="The inspector must sign before the resident engineer"):
        sign_pdf(prepared_paper(), replace(RELEASED, certify=True), keys[1])
    with pytest.raises(WrongOrder, match="inspector and the resident engineer must sign before the designer"):
        sign_pdf(prepared_paper(), replace(ACCEPTED, certify=True), keys[1])
    with pytest.raises(WrongOrder, match="The resident engineer must sign before the designer"):
        sign_pdf(certified, ACCEPTED, keys[1])


def test_nobody_goes_back_behind_a_later_signature(keys):
    engineer_optional = SigningOrder(
        tuple(
            replace(each, required=each.role is Role.INSPECTOR) if each.role is not Role.DESIGNER else each
            for each in SHAFT_LOG_ORDER.steps
        )
    )
    open_places = tuple(replace(each, closes=False) for each in PLACES)
    paper = prepare_fields(plain_paper(), open_places)
    pdf = sign_pdf(sign_pdf(paper, SEEN, keys[0]), ACCEPTED, keys[1], engineer_optional)
    later = replace(RELEASED, signed_at=ACCEPTED.signed_at)
    with pytest.raises(WrongOrder, match="The designer has signed already"):
        sign_pdf(pdf, later, keys[1], engineer_optional)


def test_a_field_is_for_its_role_and_a_field_without_a_step_for_nobody(certified, keys):
    with pytest.raises(
        WrongOrder, match="is for the resident engineer, and Engineer B would sign as designer"
    ):
        sign_pdf(certified, replace(RELEASED, signer=SignerIdentity("Engineer B", Role.DESIGNER)), keys[1])
    only_inspector = SigningOrder((Step("Inspector", Role.INSPECTOR),))
    with pytest.raises(WrongOrder, match="Nobody is asked to sign in the field 'ResidentEngineer'"):
        sign_pdf(certified, RELEASED, keys[1], only_inspector)


def test_the_first_signature_must_certify(keys):
    with pytest.raises(WrongOrder, match="must certify"):
        sign_pdf(prepared_paper(), replace(SEEN, certify=False), keys[0])


def test_a_document_of_another_kind_brings_its_own_order(keys):
    order = SigningOrder((Step("Checked", Role.RESIDENT_ENGINEER),))
    paper = prepare_fields(plain_paper(), (FieldPlace("Checked", 0, (40, 60, 210, 132)),))
    pdf = sign_pdf(paper, replace(RELEASED, field_name="Checked", certify=True), keys[1], order)
    assert pdf.startswith(paper)


def test_a_clock_set_back_is_refused_and_a_small_difference_is_not(certified, keys):
    for back_min, refused in ((9, False), (11, True), (60 * 24 * 30, True)):
        request = replace(RELEASED, signed_at=SEEN.signed_at - timedelta(minutes=back_min))
        if refused:
            with pytest.raises(ClockProblem, match="set the clock"):
                sign_pdf(certified, request, keys[1])
        else:
            assert sign_pdf(certified, request, keys[1]).startswith(certified)


def test_an_interrupted_signature_leaves_the_file_as_it_was_and_is_taken_up_again(
    certified, keys, tmp_path, monkeypatch
):
    file = tmp_path / "log.pdf"
    file.write_bytes(certified)

    def cut(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(pdf_signing.PdfSigner, "init_signing_session", cut)
        with pytest.raises(KeyboardInterrupt):
            file.write_bytes(sign_pdf(file.read_bytes(), RELEASED, keys[1]))
    assert file.read_bytes() == certified
    assert verify_pdf(file.read_bytes(), policy_for(*keys)).verdict is Verdict.VALID
    signed = sign_pdf(file.read_bytes(), RELEASED, keys[1])
    assert verify_pdf(signed, policy_for(*keys, signed=2)).verdict is Verdict.VALID


def test_a_half_written_signature_is_not_a_file_that_anybody_signs_on_or_calls_valid(certified, keys):
    whole = sign_pdf(certified, RELEASED, keys[1])
    for share in (0.1, 0.5, 0.9, 0.999):
        cut = whole[: len(certified) + int(share * (len(whole) - len(certified)))]
        assert verify_pdf(cut, policy_for(*keys, signed=2)).verdict is Verdict.REJECTED
        assert verify_pdf(cut, policy_for(*keys, signed=1)).verdict is Verdict.REJECTED


def _stamp(pdf: bytes, field: str):
    reader = PdfFileReader(BytesIO(pdf), strict=True)
    ((_, _, reference),) = enumerate_sig_fields(reader, with_name=field)
    return reference.get_object()["/AP"]["/N"]


def test_the_drawn_signature_is_paths_in_the_stamp_and_no_picture(keys):
    pdf = sign_pdf(prepared_paper(), replace(SEEN, drawn=HAND), keys[0])
    assert verify_pdf(pdf, policy_for(*keys)).verdict is Verdict.VALID
    stamp = _stamp(pdf, "Inspector")
    assert "/XObject" not in stamp["/Resources"]
    assert b"/Image" not in pdf[len(prepared_paper()) :]
    drawn = re.findall(rb"(-?[\d.]+) (-?[\d.]+) ([ml])\b", stamp.data)
    assert [each[2] for each in drawn] == [b"m", b"l", b"l", b"l", b"m", b"l", b"m", b"l"]


def test_the_drawn_signature_keeps_its_shape_and_stays_in_the_right_of_its_box(keys):
    plain, signed = prepared_paper(), sign_pdf(prepared_paper(), replace(SEEN, drawn=HAND), keys[0])
    undrawn = sign_pdf(prepared_paper(), SEEN, keys[0])
    scale = 4
    left, bottom, right, top = PLACES[0].box_pt
    border = left + 0.64 * (right - left)  # the text has 64 % of the width
    shots = []
    for pdf in (plain, signed, undrawn):
        document = pypdfium2.PdfDocument(pdf)
        document.init_forms()
        shots.append(document[0].render(scale=scale).to_pil().convert("L"))
    area = tuple(round(each * scale) for each in (border, 792 - top, right, 792 - bottom))
    ink = shots[1].crop(area).point(lambda level: 255 if level < 128 else 0).getbbox()
    assert ink is not None
    wide, high = ink[2] - ink[0], ink[3] - ink[1]
    # the hand is 1.0 by 0.8 of its square, each with the 1 pt pen around
    assert (wide - scale) / (high - scale) == pytest.approx(1.0 / 0.8, rel=0.05)
    assert wide <= area[2] - area[0]
    assert high <= area[3] - area[1]
    for shot in shots[1:]:
        shot.paste(255, tuple(round(each * scale) for each in (left, 792 - top, right, 792 - bottom)))
        assert shot.tobytes() == shots[0].tobytes(), "nothing is drawn outside the box"


def test_strokes_that_cannot_be_drawn_are_refused():
    for drawn in (((),), (((0.0, 1.1),),), (((float("nan"), 0.5),),), (((0.5, 0.5),) * 4001,)):
        with pytest.raises(UnfitText, match="draw it again"):
            replace(SEEN, drawn=drawn)
