"""The shaft log as paper: what an engineer must find on it, and that it never breaks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise

import pypdfium2
import pytest

from fieldapp.criteria.finding import (
    BaseStanding,
    Finding,
    Group,
    NextStep,
    Outcome,
    ReleaseState,
    ReleaseStatus,
    Standing,
    Work,
)
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.chain import heads_of
from fieldapp.record.column import HeadReading
from fieldapp.record.hole import Note
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.shaft import shaft_record
from fieldapp.record.words import Fluid, Method, Salinity
from reports.facts import Report
from reports.shaft_log import shaft_log
from tests.reports.reading_pdf import pages_of, reader, text_of
from tests.reports.story import (
    DAY,
    ENGINEER,
    PARAMETERS,
    Tape,
    concrete,
    facts_only_scheduled,
    facts_si,
    facts_us,
    ft,
    full_tape,
    limit,
    plan_us,
    setup_us,
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


def test_a_record_that_is_only_scheduled_says_not_shown_everywhere():
    made = shaft_log(facts_only_scheduled())
    text = text_of(made.pdf)
    for words in (
        "Base standing Not shown",
        "nothing is shown to be met",
        "the base is not shown",
        "the head is not shown",
        "the fluid is not shown",
        "base reached not shown",
        "piezometric levels not shown",
        "none in the record. The resident engineer has not decided.",
    ):
        assert words in text
    assert len(made.fields) == 3


def test_a_shaft_that_was_never_scheduled_still_prints():
    facts = facts_only_scheduled()
    tape = Tape()
    tape.add(Note("Somebody wrote before the shaft was scheduled."), 7)
    record = shaft_record("P2-3", tape.entries)
    text = text_of(shaft_log(replace(facts, record=record, record_digest=record.digest)).pdf)
    assert "This shaft is not scheduled in the record" in text
    assert "Somebody wrote before" in text


def test_an_amendment_of_an_unknown_entry_is_listed_as_waiting():
    tape = full_tape()
    tape.entries = [each for each in tape.entries if each.id != tape.entries[2].id]
    stray = Tape(stamp=900)
    gone = stray.add(HeadReading(ft("1' 0\"")), 9, device="tablet lost")
    change = stray.amend(gone, HeadReading(ft("1' 7\"")), 10, "wrong mark", device="tablet lost")
    text = text_of(shaft_log(facts_us(Tape(entries=[*tape.entries, change]))).pdf)
    assert "waits for an entry that is not in the journal" in text
    assert "Fluid level 1' 7\" below the reference" in text


def test_three_hundred_entries_break_over_pages_with_repeated_heads():
    tape = Tape()
    tape.add(plan_us(), 5)
    for i in range(300):
        tape.add(Note(f"note number {i:03d}") if i % 2 else HeadReading(ft("1' 2\"")), 6 + i / 25)
    pages = pages_of(shaft_log(facts_us(tape)).pdf)
    text = " ".join(pages)
    assert all(f"note number {i:03d}" in text for i in range(1, 300, 2))
    assert "tablet north 301" in text
    heads = [page.count("observed entry author, device, number") for page in pages]
    assert max(heads) == 1 and sum(heads) >= 9
    assert all(f"page {n} of {len(pages)}" in page for n, page in enumerate(pages, start=1))


def test_endless_words_and_lines_neither_crash_nor_leave_the_page():
    tape = Tape()
    tape.add(plan_us(location="W" * 200), 5, author="Щ" * 120)
    note = tape.add(Note("W" * 2000), 6, author="Δ" * 119)
    tape.amend(note, Note("line\n" * 390 + "a < b & c > d"), 7, "Ж" * 2000)
    found = tuple(
        Finding(
            "r" * 90,
            Group.BASE,
            Outcome.NOT_MET,
            "s" * 900,
            "m" * 900,
            "l" * 300,
            "w" * 900,
            DAY,
            source="q" * 900,
            weight=1,
        )
        for _ in range(3)
    )
    standing = BaseStanding(Standing.NOT_CREDITABLE, found, NextStep("n" * 900, None))
    facts = facts_us(
        tape, setup=setup_us(name="Ω" * 120), findings=found, standing=standing, printed_by="P" * 120
    )
    document = pypdfium2.PdfDocument(shaft_log(facts).pdf)
    for page in document:
        words = page.get_textpage()
        rects = [words.get_rect(i) for i in range(words.count_rects())]
        assert min(each[0] for each in rects) >= 34 and max(each[2] for each in rects) <= 612 - 34
        assert min(each[1] for each in rects) >= 26 and max(each[3] for each in rects) <= 792 - 24
    text = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)
    document.close()
    assert "a < b & c > d" in text


def test_an_unknown_time_zone_is_said_and_utc_is_used():
    text = text_of(shaft_log(facts_us(setup=setup_us(time_zone="Mars/Olympus"))).pdf)
    assert "The time zone 'Mars/Olympus' is not known here: all times stand in UTC." in text
    assert "2026-05-12 14:30" in text  # 08:30 in Denver, six hours behind UTC in May


def test_a_digest_that_is_not_the_records_is_called_out():
    text = text_of(shaft_log(facts_us(record_digest="0" * 64)).pdf)
    assert "do not rely on this copy" in text


def test_times_without_offset_are_refused():
    with pytest.raises(Impossible, match="offset"):
        facts_us(printed_at=datetime(2026, 5, 12, 16, 45))  # noqa: DTZ001 - the very thing refused


def test_a_lapsed_release_says_until_when_it_was_to_hold_and_why():
    state = ReleaseState(
        ReleaseStatus.LAPSED,
        until=DAY + timedelta(hours=18.5),
        reason="A sounding after it is over the limit.",
        author=ENGINEER,
    )
    text = text_of(shaft_log(facts_us(release=state)).pdf)
    assert "lapsed and was to hold until 2026-05-12 18:30 MDT by Engineer B. Reason: A sounding" in text


def test_concrete_in_the_record_shows_on_the_first_page():
    tape = full_tape()
    concrete(tape, 17.25)
    facts = facts_us(tape, heads=tuple(heads_of(tape.entries).values()))
    assert "2026-05-12 17:15" in pages_of(shaft_log(facts).pdf)[0]


def test_a_round_off_the_base_is_named_and_not_drawn():
    tape = full_tape()
    tape.add(plan_us(diameter=Reading("4", "ft")), 16.8, author=ENGINEER)
    text = text_of(shaft_log(facts_us(tape)).pdf)
    assert "Round 2 is not drawn: position of point 2" in text


def test_in_salt_water_the_chart_shows_what_is_added_to_the_density_limits():
    accepted = AcceptanceSet(
        "salt", "Salt water", "none", (*PARAMETERS, limit("salt_density_add", "2", "pcf"))
    )
    setup = setup_us(acceptance=accepted, salinity=Salinity.SALT)
    text = text_of(shaft_log(facts_us(setup=setup)).pdf)
    assert "at most 74 pcf" in text and "at least 66.3 pcf" in text
    assert "Density limits hold 2 pcf more in salt water." in text


def test_a_round_after_concrete_started_is_named_and_not_drawn():
    tape = full_tape()
    concrete(tape, 14.0)
    text = text_of(shaft_log(facts_us(tape)).pdf)
    assert "Round 2 is not drawn: it was observed after concrete started." in text


def test_a_stratum_first_measured_later_counts_for_earlier_readings_too():
    tape = Tape()
    tape.add(plan_us(piezometric_levels=()), 5)
    tape.add(HeadReading(ft("2' 0\"")), 9)
    level = Reading("5096.5", "ft")
    tape.add(HeadReading(ft("1' 0\""), piezometric_elevation=level, stratum="sandstone"), 10)
    # 5104.5 - 2 - 5096.5 = 6 ft at 09:00; 7 ft at 10:00
    assert "Lowest head read: 6 ft at 2026-05-12 09:00." in text_of(shaft_log(facts_us(tape)).pdf)


def test_a_met_finding_without_a_number_says_its_sentence_and_never_not_shown():
    found = (Finding("void under the base", Group.GROUND, Outcome.MET, "No void was seen."),)
    text = text_of(shaft_log(facts_us(findings=found)).pdf)
    table = text.split("1 asked: 0 not met, 0 not shown, 1 met")[1].split("Base plan")[0]
    assert "No void was seen." in table and "not shown" not in table


def test_a_limit_that_must_be_entered_is_called_not_entered():
    found = (Finding("mean", Group.BASE, Outcome.NOT_SHOWN, "Enter it.", work=Work.ENTER_LIMIT),)
    assert "not shown Enter it. not entered" in text_of(shaft_log(facts_us(findings=found)).pdf)


def test_a_dry_shaft_has_no_head_or_fluid_to_show():
    tape = Tape()
    tape.add(plan_us(method=Method.DRY, fluid=Fluid.NONE), 5)
    text = text_of(shaft_log(facts_us(tape)).pdf)
    assert "The shaft is dry: there is no head to read." in text
    assert "The shaft is dry: there is no fluid to test." in text


def test_a_share_that_just_misses_is_never_printed_as_the_share_asked_for():
    # 79.888 % against 79.9 % asked: one digit would read 79.9 %
    parameters = tuple(
        replace(each, value="79.9") if each.name == "area_fraction_min" else each for each in PARAMETERS
    )
    setup = setup_us(acceptance=AcceptanceSet("tight", "Tight", "none", parameters))
    assert "79.89 % of the base area under 1/2 in, asked at least 79.9 %" in text_of(
        shaft_log(facts_us(setup=setup)).pdf
    )
