"""Pages held against pages: rounding is no difference, a letter is."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest
from reportlab.pdfgen import canvas

from fieldapp.identity.errors import UnreadablePdf
from fieldapp.identity.pages_compared import compare_pages
from fieldapp.identity.pdf_signing import prepare_fields
from tests.identity import attacks
from tests.identity.papers import PLACES, plain_paper


def drawn(draw: Callable[[canvas.Canvas], None], pages: int = 2, packed: int = 1) -> bytes:
    out = io.BytesIO()
    sheet = canvas.Canvas(out, pagesize=(612, 792), invariant=1, pageCompression=packed)
    for number in range(pages):
        sheet.drawString(60, 740, f"Shaft P1-1 (page {number})")
        if number == 1:
            draw(sheet)
        sheet.showPage()
    sheet.save()
    return out.getvalue()


def line(x: float) -> Callable[[canvas.Canvas], None]:
    return lambda sheet: sheet.line(x, 100, 200, 300)


def differing(other: bytes, own: bytes) -> tuple[int, ...]:
    found = compare_pages(other, own, ())
    assert found.same is (found.differing == () and found.found == found.expected)
    return found.differing


def test_pages_are_those_of_themselves_however_they_are_packed() -> None:
    own = drawn(line(50))
    assert differing(own, own) == ()
    assert differing(drawn(line(50), packed=0), own) == ()


@pytest.mark.parametrize(("x", "pages"), [(50.00004, ()), (50.01, (2,)), (50.5, (2,)), (-50, (2,))])
def test_a_last_digit_is_rounding_and_a_hundredth_of_a_point_is_not(x: float, pages: tuple[int, ...]) -> None:
    theirs = drawn(lambda sheet: sheet._code.append(f"n {x:.5f} 100 m 200 300 l S"))
    ours = drawn(lambda sheet: sheet._code.append("n 50 100 m 200 300 l S"))
    assert differing(theirs, ours) == pages


@pytest.mark.parametrize(
    "draw",
    [
        lambda sheet: sheet.drawString(60, 700, "0.91"),
        lambda sheet: sheet.drawString(60, 700, "0.9)1"),
        lambda sheet: sheet.drawString(60, 700, "0.90 "),
        lambda sheet: (sheet.setFont("Courier", 12), sheet.drawString(60, 700, "0.90")),
        lambda sheet: (sheet.setFont("Helvetica", 13), sheet.drawString(60, 700, "0.90")),
        lambda sheet: (sheet.drawString(60, 700, "0.90"), sheet.drawString(60, 680, "clean")),
        lambda sheet: None,
    ],
)
def test_another_letter_font_size_or_line_is_a_difference(draw: Callable[[canvas.Canvas], None]) -> None:
    own = drawn(lambda sheet: sheet.drawString(60, 700, "0.90"))
    assert 2 in differing(drawn(draw), own)


def test_more_or_fewer_pages_are_counted() -> None:
    own = drawn(line(50), 3)
    for count in (2, 4):
        found = compare_pages(drawn(line(50), count), own, ())
        assert not found.same
        assert (found.found, found.expected, found.differing) == (count, 3, ())


def test_prepared_fields_count_for_nothing_in_their_places_and_elsewhere_they_do() -> None:
    own = plain_paper(("sounded",), 2)
    prepared = prepare_fields(own, PLACES)
    assert compare_pages(prepared, own, PLACES).same
    assert compare_pages(own, own, PLACES).same, "an unsigned copy has none"
    page = PLACES[0].page_index + 1
    assert page in compare_pages(prepared, own, PLACES[1:]).differing
    assert compare_pages(attacks.empty_field(prepared, (10, 10, 300, 700)), own, PLACES).differing == (1,)


def test_what_forgers_do_to_pages_is_told() -> None:
    own = plain_paper(("sounded",), 2)
    prepared = prepare_fields(own, PLACES)
    assert compare_pages(attacks.replaced_page(prepared), own, PLACES).differing == (1,)
    assert compare_pages(attacks.changed_title(prepared), own, PLACES).same, "pages alone are compared"


def test_what_is_no_pdf_or_packed_without_end_is_refused() -> None:
    own = plain_paper(("sounded",), 1)
    for junk in (b"", b"%PDF-1.4", own[:-40], attacks.table_bomb(own)):
        with pytest.raises(UnreadablePdf):
            compare_pages(junk, own, ())
