"""The release sheet: one page that says first, and whole, what is not met and what is not shown."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pypdfium2
import pytest

from fieldapp.criteria.finding import Finding, Group, Outcome, ReleaseState, ReleaseStatus
from fieldapp.criteria.release_limit import ReleaseLimit
from fieldapp.record.decisions import Release
from reports.facts import Report, ShaftFacts
from reports.release_sheet import release_sheet
from tests.reports.reading_pdf import pages_of, reader, text_of
from tests.reports.si_story import facts_si
from tests.reports.story import DAY, ENGINEER, concrete, facts_only_scheduled, facts_us, full_tape

CLOCKS = (
    ReleaseLimit(DAY + timedelta(hours=17.5), "After 17:30 ...", "sounding to concrete"),
    ReleaseLimit(DAY + timedelta(hours=18), "After 18:00 ...", "head now", watched=True),
    ReleaseLimit(DAY + timedelta(hours=20.5), "The set lets a release hold ...", "release valid for"),
)


def released(facts: ShaftFacts, **more: object) -> ShaftFacts:
    """The release of the story with the entry it comes from, and what it passes over."""
    line = facts.record.of(Release)[-1]
    state = replace(facts.release, entry=line.id, remarks=("Released at 16:30 over 1 not met: head fell.",))
    return replace(facts, released=line, release=state, **more)


@pytest.fixture(scope="module")
def sheet() -> Report:
    return release_sheet(released(facts_us(clocks=CLOCKS), until_why="After 18:30 the sounding is too old."))


@pytest.fixture(scope="module")
def text(sheet: Report) -> str:
    return text_of(sheet.pdf)


def in_order(text: str, *words: str) -> bool:
    places = [text.index(each) for each in words]
    return places == sorted(places)


def many(
    outcome: Outcome, count: int, says: str = "It was not read since the last cleaning"
) -> list[Finding]:
    return [
        Finding(
            f"requirement {outcome} {number}",
            Group.FLUID,
            outcome,
            f"{says}, number {number}.",
            f"{number} pcf" if outcome is not Outcome.NOT_SHOWN else "",
            f"at most {number} pcf",
            "32' 0\" depth",
            DAY + timedelta(hours=14),
            weight=100 - number,
        )
        for number in range(1, count + 1)
    ]


def test_it_is_one_page_with_one_empty_signature_box_inside_the_margins(sheet: Report) -> None:
    assert len(reader(sheet.pdf).pages) == 1
    (field,) = sheet.fields
    assert (field.name, field.page_index) == ("ResidentEngineer", 0)
    left, bottom, right, top = field.box_pt
    assert left >= 36
    assert bottom >= 60, "over the footer"
    assert right <= 612 - 36 + 0.01
    document = pypdfium2.PdfDocument(sheet.pdf)
    inside = document[0].render(crop=(left + 2, bottom + 2, 612 - right + 2, 792 - top + 2)).to_pil()
    assert inside.convert("L").getextrema() == (255, 255)
    document.close()


def test_shaft_standing_and_release_come_first_then_what_speaks_against_then_what_is_met(text: str) -> None:
    assert in_order(
        text,
        "Shaft P2-3: release sheet",
        "project Larkwater crossing (larkwater)",
        "base standing Rework",
        "Head fell to 4.42 ft at 11:30",
        "Not met (1)",
        "head over the piezometric level",
        "Not shown: not observed, stale or one-sided, and so unknown (2)",
        "head watched",
        "sand at every depth",
        "Met (3)",
        "base area share",
        "Until when this stays shown",
    )
    # 61' 5" drilled and 5104.5 - 5043.0 = 61.5 ft planned
    for words in ("6 ft, wet, mineral", "61' 5\", 61' 6\"", "Pier 2, third from upstation"):
        assert words in text
    assert "as of 2026-05-12 16:36 MDT" in text


def test_every_finding_gives_measured_limit_and_when(text: str) -> None:
    for words in (
        "4.42 ft lowest at least 5 ft sandstone, 2026-05-12 11:30",
        "No head reading from 11:30 to 14:36. a reading every 2 h",
        "1.5 % at 61 ft. Set 2: sand was not tested at 31 ft. at most 4 % set 2, 31' 0\", 2026-05-12 15:12",
        "78 % under 1/2 in (at least 50 %) 12 May 14:54",
    ):
        assert words in text


def test_the_release_says_by_whom_until_when_why_then_conditions_and_what_it_passes_over(text: str) -> None:
    for words in (
        "release of concrete Released",
        "by: Engineer B, 2026-05-12 16:30 MDT",
        "until: 2026-05-12 18:30 MDT",
        "why then: After 18:30 the sounding is too old.",
        "conditions: Sound again if concrete starts after 17:30.",
        "passes over: Released at 16:30 over 1 not met: head fell.",
    ):
        assert words in text


def test_the_clocks_say_until_when_what_is_shown_stays_shown(text: str) -> None:
    for words in (
        "12 May 17:30 sounding to concrete",
        "12 May 18:00 head now, unless read again",
        "12 May 20:30 a release made now would end",
    ):
        assert words in text


def test_cautions_digest_and_what_a_signature_is_stand_on_the_page(text: str) -> None:
    facts = facts_us()
    for words in (*facts.cautions, facts.record_digest, "a box that shows nothing is not signed"):
        assert words in text
    assert "resident engineer: decided on this record" in text


def test_without_a_decision_it_says_so_and_asks_nobody_to_pour() -> None:
    said = text_of(release_sheet(facts_only_scheduled()).pdf)
    assert "Not decided" in said
    assert "The resident engineer has not decided on this record." in said
    assert "No requirement was held against this record." in said
    assert "Nothing that is asked is shown to be met." in said
    assert "names no time after which" in said


def test_once_concrete_is_in_no_clock_runs() -> None:
    tape = full_tape()
    concrete(tape, 17.0)
    said = text_of(release_sheet(released(facts_us(tape))).pdf)
    assert "concrete started: 2026-05-12 17:00 MDT" in said
    assert "no clock runs any more" in said


def test_a_reason_that_says_why_it_lapsed_is_not_said_twice() -> None:
    why = "After 18:30 the sounding is too old."
    state = ReleaseState(
        ReleaseStatus.LAPSED,
        DAY + timedelta(hours=18.5),
        f"The release ended at 18:30. {why}",
        author=ENGINEER,
    )
    said = text_of(release_sheet(facts_us(release=state, until_why=why)).pdf)
    assert said.count(why) == 1
    assert "was to hold until: 2026-05-12 18:30 MDT" in said


@pytest.mark.parametrize("counts", [(3, 3, 20), (8, 8, 30), (12, 12, 30)])
def test_a_bad_shaft_stays_on_one_page_and_only_met_ones_are_counted_instead_of_listed(
    counts: tuple[int, int, int],
) -> None:
    kinds = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET)
    found = [each for kind, count in zip(kinds, counts, strict=True) for each in many(kind, count)]
    pages = pages_of(release_sheet(facts_us(findings=tuple(found), clocks=CLOCKS)).pdf)
    assert len(pages) == 1
    words = set(pages[0].split())
    for each in found:
        if each.outcome is not Outcome.MET:
            assert each.requirement in pages[0]
            assert (
                set((each.measured or each.says).rstrip(".").split())
                <= {w.rstrip(".;,") for w in words} | words
            )
    listed = sum(f"requirement met {number} " in pages[0] for number in range(1, counts[2] + 1))
    more = f"and {counts[2] - listed} more met, see the shaft log"
    if listed == 0:
        more = f"{counts[2]} met, see the shaft log"
    assert (listed == counts[2]) or more in pages[0]


def test_what_does_not_fit_on_one_page_goes_on_a_second_one_and_both_say_so() -> None:
    found = (*many(Outcome.NOT_MET, 45), *many(Outcome.NOT_SHOWN, 45), *many(Outcome.MET, 20))
    sheet = release_sheet(facts_us(findings=found))
    pages = pages_of(sheet.pdf)
    assert len(pages) > 1
    assert "This sheet has more than one page" in pages[0]
    assert f"page 1 of {len(pages)}" in pages[0]
    whole = " ".join(pages)
    assert all(each.requirement in whole for each in found)
    assert sheet.fields[0].page_index == len(pages) - 1


def test_one_lack_that_leaves_many_requirements_open_is_one_row_with_all_their_names() -> None:
    lack = [replace(each, says="No fluid test.", limit="", weight=9) for each in many(Outcome.NOT_SHOWN, 6)]
    said = text_of(release_sheet(facts_us(findings=tuple(lack))).pdf)
    assert "so unknown (6)" in said
    rows = said.split("so unknown (6)")[1]
    assert rows.count("No fluid test.") == 1
    assert all(each.requirement in rows for each in lack)


def test_endless_words_break_no_page() -> None:
    facts = released(facts_us(clocks=CLOCKS * 20))
    long = "the rig stands by and the concrete is on its way " * 40
    state = replace(facts.release, reason=long, conditions=long, remarks=(long,))
    found = (*many(Outcome.NOT_MET, 3, says=long), *many(Outcome.NOT_SHOWN, 3, says=long))
    sheet = release_sheet(replace(facts, release=state, findings=found))
    text = text_of(sheet.pdf)
    assert text.count("on its way") >= 40 * 5
    assert "later, the last at" in text


def test_an_si_project_is_on_a4_with_greek_and_cyrillic_names() -> None:
    sheet = release_sheet(facts_si())
    page = reader(sheet.pdf).pages[0]
    assert [round(float(each)) for each in page.mediabox[2:]] == [595, 842]
    assert len(reader(sheet.pdf).pages) == 1
    said = text_of(sheet.pdf)
    for words in (
        "Ελένη Παπαδοπούλου",
        "Иван Щербаков",
        "1500 mm",
        "22.50 m, 22.50 m",
        "EEST",
        "One point is open",
    ):
        assert words in said
    assert sheet.fields[0].box_pt[2] <= 595.3 - 35.9


def test_same_facts_give_the_same_bytes_and_title_and_outline_are_set(sheet: Report) -> None:
    again = release_sheet(released(facts_us(clocks=CLOCKS), until_why="After 18:30 the sounding is too old."))
    assert again.pdf == sheet.pdf
    document = reader(sheet.pdf)
    assert document.metadata.title == "Shaft P2-3: release sheet"
    assert [each.title for each in document.outline] == [
        "Release sheet",
        "Evidence",
        "Clocks, cautions, signature",
    ]
    assert document.trailer["/Root"]["/Lang"] == "en-US"


def test_states_differ_by_shape_in_grey_too() -> None:
    """The same sheet with one word changed draws another shape: its grey pictures differ there."""

    def marks(status: ReleaseStatus) -> bytes:
        facts = facts_us(release=ReleaseState(status, author=ENGINEER, reason="x"))
        document = pypdfium2.PdfDocument(release_sheet(facts).pdf)
        # the shape beside the word, left of the middle of the page
        picture = document[0].render(crop=(318, 600, 612 - 342, 108)).to_pil().convert("1")
        document.close()
        return picture.tobytes()

    assert marks(ReleaseStatus.HELD) != marks(ReleaseStatus.RELEASED)
    assert marks(ReleaseStatus.HELD).strip(b"\xff") != b""
