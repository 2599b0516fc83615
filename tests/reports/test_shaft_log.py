"""The shaft log as paper: what an engineer must find on it, and that it never breaks."""

from __future__ import annotations

from itertools import pairwise

import pypdfium2
import pytest

from reports.facts import Report
from reports.shaft_log import shaft_log
from tests.reports.reading_pdf import pages_of, reader, text_of
from tests.reports.si_story import facts_si
from tests.reports.story import (
    ENGINEER,
    facts_us,
)
from tests.reports.struck import struck_words

SECTIONS = [
    "Identification",
    "Base standing",
    "Findings",
    "Base plan",
    "Head",
    "Fluid",
    "Entries",
    "Instruments",
    "Cautions",
    "Record digest and journal",
    "Signatures",
]


@pytest.fixture(scope="module")
def log() -> Report:
    return shaft_log(facts_us())


@pytest.fixture(scope="module")
def si_log() -> Report:
    return shaft_log(facts_si())


@pytest.fixture(scope="module")
def text(log: Report) -> str:
    return text_of(log.pdf)


def test_the_first_page_identifies_the_shaft_in_both_unit_systems(log: Report):
    first = pages_of(log.pdf)[0]
    # 6 ft = 1.8288 m, 5104.5 ft = 1555.8516 m, 61.5 ft = 18.7452 m (exact by the international foot)
    for fact in (
        "Larkwater crossing (larkwater)",
        "P2-3, production",
        "Pier 2, third from upstation",
        "6 ft (1.83 m)",
        "5104.5 ft (1,555.85 m)",
        "5043.0 ft (1,537.11 m)",
        "61' 6\" (18.75 m)",
        "wet, mineral",
        "side and base",
        "artesian",
        "sandstone 5097.0 ft",
        "America/Denver",
        "2026-05-12 08:30 at 61' 5\"",
        "not started in the record",
        "Classic area-share limits (project set; us-classic, 14 limits)",
    ):
        assert fact in first


def test_the_first_page_shows_standing_reasons_next_step_and_release(log: Report):
    first = pages_of(log.pdf)[0]
    reasons = [
        "Head fell to 4.42 ft at 11:30",
        "No head reading from 11:30 to 14:36",
        "Set 2: sand was not tested",
    ]
    places = [first.index(each) for each in ["Base standing Rework", *reasons, "next: Restore the head"]]
    assert places == sorted(places)
    assert "released until 2026-05-12 18:30 MDT by Engineer B. Conditions: Sound again" in first


def test_findings_stand_not_met_first_then_not_shown_then_met_and_not_asked_in_a_line(log: Report):
    first = pages_of(log.pdf)[0].split("Findings 6 asked: 1 not met, 2 not shown, 3 met")[1]
    names = [
        "head over the piezometric level",
        "head watched",
        "sand at every depth",
        "base area share",
        "density",
    ]
    places = [first.index(each) for each in names]
    assert places == sorted(places)
    assert "at most 1 1/2 in points R3, R4 2026-05-12 14:54 project special provision 5 (contract)" in first
    assert "Not asked by this acceptance set: flatness, fluid loss, standing water." in first


def test_the_base_plan_gives_share_largest_and_mean_of_the_latest_round(text: str):
    plan = text.split("Base plan")[1].split("Head over the highest", maxsplit=1)[0]
    # Ring cells of a centre and 8 points at 31 in on a 36 in base: the centre is a regular octagon of apothem
    # 15.5 in, area 8 x 15.5^2 x tan 22.5 deg = 796.1 in2 of 4071.5, so a ring cell is 10.06 %
    # (hand calculation).
    # R3 and R4 (1/2 in, "under 1/2 in" is asked) are out: 100 - 2 x 10.056 = 79.9 %.
    assert "79.9 %" in plan
    # mean = 0.25 x 19.55 % + 10.06 % x (.25 + .375 + .5 + .5 + .375 + .25 + .125 + .25) = 0.313 in
    assert "0.31 in" in plan
    assert "of the base area under 1/2 in, asked at least 50 %" in plan
    assert "largest, at R3" in plan and "upstation" in plan
    assert "Round 1, after pass 2" in plan and "share not shown, largest not shown" in plan


def test_the_head_chart_says_its_lowest_reading_and_the_time_not_shown(text: str):
    # 5104.5 - 3.0833 - 5097.0 = 4.4167 ft at 11:30; the next reading is 14:36, 3 h 6 min later
    assert "Lowest head read: 4.42 ft at 2026-05-12 11:30." in text
    assert "Hatched: 3 h 6 min without a reading, in stretches over 2 h; not shown." in text
    assert "at least 5 ft asked" in text


def test_the_fluid_charts_carry_their_limits_and_name_what_is_near_the_base(text: str):
    for words in (
        "Density, pcf",
        "at most 72 pcf",
        "at least 64.3 pcf",
        "Funnel time, s (946 mL cup)",
        "at most 45 s",
        "Sand content, %",
        "at most 4 %",
        "at most 11",
        "near the base",
        "higher up",
        "within 1 ft of it",
    ):
        assert words in text


def test_entries_stand_in_order_of_observation_with_author_device_and_number(text: str):
    entries = text.split("31 entries (2 amendments, 1 strike), in order of observation")[1]
    marks = [
        "location Pier 2",
        "Base reached at 61' 5\"",
        "Pass 1, airlift",
        "Set 1, before final cleaning",
        "Round 1, after pass 2, with tape 1; 9 points",
        "Rain from 11:30",
        "Round 2",
        "until 2026-05-12 18:30",
    ]
    places = [entries.index(each) for each in marks]
    assert places == sorted(places)
    assert "Engineer B tablet north 1" in entries
    assert "R7 (r 31 in, 270 deg): no reading, cage in the way; not shown" in entries
    assert "Not tested: sand" in entries


def test_an_amendment_shows_old_and_new_values_who_and_why(text: str):
    assert "density 86.8 pcf; funnel 39 s" in text
    assert "now: density 68.8 pcf; funnel 39 s" in text
    assert "amended 2026-05-12 15:25 by Inspector A (tablet north 22): Balance misread" in text


def test_old_values_are_struck_through_and_new_ones_are_not(log: Report):
    struck = struck_words(log.pdf)
    assert "density 86.8 pcf" in struck and "Fluid level 9' 2\"" in struck
    assert "density 68.8 pcf" not in struck and "Fluid level 1' 2\"" not in struck


def test_strikes_late_entries_and_confirmed_doubts_are_marked(text: str):
    assert "struck 2026-05-12 12:07 by Engineer B (tablet south 1): Read at shaft P2-4" in text
    assert "late entry: recorded 9 h 30 min after it was observed" in text
    assert "unlikely, asked about and confirmed: level jump" in text


def test_every_page_carries_its_number_the_whole_digest_the_shaft_and_the_standing(log: Report):
    digest = facts_us().record_digest
    pages = pages_of(log.pdf)
    assert len(digest) == 64 and len(pages) == 6
    for number, page in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in page
        assert digest in page
        assert "Shaft P2-3, Larkwater crossing (larkwater)" in page and "Rework" in page
        assert "printed 2026-05-12 16:45 MDT by Inspector A; an unsigned copy" in page


def test_cautions_digest_meaning_and_journal_heads_are_printed(text: str):
    facts = facts_us()
    for words in (
        *facts.cautions,
        "licensed engineers decide",
        "is an unsigned copy",
        "clocks of the devices",
    ):
        assert words in text
    assert "SHA-256 over the hashes of all entries of this shaft" in text
    for head in facts.heads:
        assert f"{head.device} {head.seq} {head.hash}" in text


def test_only_instruments_that_the_record_names_are_listed(text: str):
    assert "funnel 1 funnel water 26.1 s at 70 degF passed" in text
    assert "zero offset -1/4 in" in text
    assert "tape 9" not in text


def test_same_facts_give_the_same_bytes(log: Report):
    assert shaft_log(facts_us()).pdf == log.pdf
    assert shaft_log(facts_us(printed_by=ENGINEER)).pdf != log.pdf


def test_title_author_subject_language_and_outline_are_set(log: Report):
    document = reader(log.pdf)
    assert document.metadata.title == "Shaft P2-3: base cleanliness log"
    assert document.metadata.author == "Inspector A"
    assert document.metadata.subject == "Larkwater crossing, shaft P2-3: base standing rework"
    assert document.trailer["/Root"]["/Lang"] == "en-US"
    assert [each.title for each in document.outline] == SECTIONS
    places = [document.get_destination_page_number(each) for each in document.outline]
    assert places == sorted(places) and places[0] == 0 and places[-1] == 5


def test_all_fonts_are_embedded(log: Report):
    fonts = {}
    for page in reader(log.pdf).pages:
        for font in page["/Resources"]["/Font"].values():
            fonts[font["/BaseFont"]] = font
    used = {name: font for name, font in fonts.items() if "/FontDescriptor" in font}
    assert {name.split("+")[1] for name in used} >= {"Roboto-Regular", "Roboto-Bold", "RobotoMono-Regular"}
    assert all("/FontFile2" in font["/FontDescriptor"] for font in used.values())
    # ReportLab names one standard font on every page; no text may be set in it
    assert set(fonts) - set(used) <= {"/Helvetica"}


def test_signature_boxes_stand_on_the_last_page_inside_the_margins_and_are_empty(log: Report):
    assert [each.name for each in log.fields] == ["Inspector", "ResidentEngineer", "Designer"]
    document = pypdfium2.PdfDocument(log.pdf)
    page = document[5]
    for each in log.fields:
        left, bottom, right, top = each.box_pt
        assert each.page_index == 5
        assert (round(right - left), round(top - bottom)) == (170, 72)
        assert left >= 36 and right <= 612 - 36 + 0.01 and bottom >= 36
        inside = page.get_textpage().get_text_bounded(left + 2, bottom + 2, right - 2, top - 2)
        assert inside.strip() == ""
        picture = page.render(crop=(left + 2, bottom + 2, 612 - right + 2, 792 - top + 2)).to_pil()
        assert picture.convert("L").getextrema() == (255, 255)
    boxes = sorted(each.box_pt for each in log.fields)
    assert all(a[2] < b[0] for a, b in pairwise(boxes))
    document.close()


def test_an_si_project_is_printed_on_a4_in_its_units_with_greek_and_cyrillic_names(si_log: Report):
    page = reader(si_log.pdf).pages[0]
    assert [round(float(each)) for each in page.mediabox[2:]] == [595, 842]
    text = text_of(si_log.pdf)
    for words in (
        "Ελένη Παπαδοπούλου",
        "Иван Щербаков",
        "песок, верхний",
        "Vesker quay — Пристань [U+4E16]",
        "1500 mm (4.92 ft)",
        "22.50 m (73.82 ft)",
        "Density, g/cm3",
        "under 1.15 g/cm3",
        "EEST",
    ):
        assert words in text
    assert all(each.box_pt[2] <= 595.3 - 35.9 for each in si_log.fields)


def test_a_reading_in_the_other_system_keeps_its_words_and_adds_the_projects_unit(si_log: Report):
    # 2 1/2 in = 63.5 mm exactly; 61 degF = 16.1 degC
    text = text_of(si_log.pdf)
    assert "thickness read 2 1/2 in (63.5 mm)" in text
    assert "at 61 degF (16.1 degC)" in text


def test_a_point_without_firm_depth_leaves_share_largest_and_mean_not_shown(si_log: Report):
    text = text_of(si_log.pdf)
    assert "not shown of the base area at most 50 mm; between" in text
    assert "largest; of the points read 63.5 mm at 4" in text
    assert "no thickness read (1 of 5 points)" in text
    assert "firm depth not read, sediment not shown" in text


def test_contested_entries_show_both_versions_and_count_for_nothing(si_log: Report):
    text = text_of(si_log.pdf)
    assert "1 contested and not counted until settled" in text
    for words in ("Fluid level 1.20 m", "says: Fluid level 1.25 m", "says: Fluid level 1.35 m"):
        assert words in text
