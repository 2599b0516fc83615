"""Shaft logs of thin, long or odd records: what is missing is said, nothing is cut, nothing breaks."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

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
from reports.shaft_log import shaft_log
from tests.reports.reading_pdf import pages_of, text_of
from tests.reports.story import (
    DAY,
    ENGINEER,
    PARAMETERS,
    Tape,
    concrete,
    facts_only_scheduled,
    facts_us,
    ft,
    full_tape,
    limit,
    plan_us,
    setup_us,
)


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
