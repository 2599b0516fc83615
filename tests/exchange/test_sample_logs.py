"""The sample logs read, tell what they say they tell, and survive every slip of the pen."""

from __future__ import annotations

import csv
import hashlib
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.exchange.plain_log import load_plain_log, read_plain_log
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.hole import Event, Note
from fieldapp.record.words import Happening

SAMPLES = Path(__file__).resolve().parents[2] / "sample_logs"
FILES = sorted(SAMPLES.rglob("*.log"))
LARKWATER = ["P1-1", "P1-2", "P1-3", "P1-4", "P2-1", "P2-2", "P2-3", "P2-4", "P2-5", "T-1"]


def entries_of(project: str):
    return [each for path in FILES if path.parent.name == project for each in load_plain_log(path).entries]


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_sample_file_reads_and_begins_with_its_story(path):
    log = load_plain_log(path)
    assert log.project == path.parent.name
    assert log.entries
    lines = path.read_text("utf-8").splitlines()
    assert [line[:2] for line in lines[:3]] == ["# ", "# ", ""]


def test_larkwater_has_its_ten_shafts_and_vesker_its_three_piles():
    assert sorted({each.shaft for each in entries_of("larkwater") if each.shaft}) == LARKWATER
    assert sorted({each.shaft for each in entries_of("vesker") if each.shaft}) == ["B1", "B2", "B3"]


def test_no_two_entries_of_a_project_have_the_same_identifier():
    for project in ("larkwater", "vesker"):
        assert max(Counter(each.id for each in entries_of(project)).values()) == 1


def test_the_sample_job_has_amendments_a_strike_a_late_entry_and_a_corrected_clock():
    found = entries_of("larkwater")
    assert sum(isinstance(each.says, Amend) for each in found) >= 3
    assert any(isinstance(each.says, Strike) for each in found)
    assert any((each.recorded_at - each.observed_at).total_seconds() > 12 * 3600 for each in found)
    assert any(isinstance(e.says, Event) and e.says.what is Happening.CLOCK_CORRECTED for e in found)


def test_two_shafts_have_entries_of_two_devices():
    devices: dict[str | None, set[str]] = {}
    for each in entries_of("larkwater"):
        devices.setdefault(each.shaft, set()).add(each.device)
    assert {"tablet north", "tablet south"} <= devices["P1-2"]
    assert {"tablet north", "tablet south"} <= devices["P1-4"]


def test_a_base_of_five_feet_and_more_is_sounded_at_nine_points():
    rounds = [each for each in entries_of("larkwater") if isinstance(each.says, SoundingRound)]
    assert {len(each.says.points) for each in rounds if each.shaft == "P2-1"} == {5}
    assert {len(each.says.points) for each in rounds if each.shaft != "P2-1"} == {9}


def test_the_load_test_is_the_file_that_the_note_names_and_starts_flat():
    path = SAMPLES / "larkwater" / "load_test_T-1.csv"
    (note,) = [e.says for e in entries_of("larkwater") if isinstance(e.says, Note) and e.says.attached]
    assert note.attached == hashlib.sha256(path.read_bytes()).hexdigest()
    assert note.attached_name == path.name
    header, *rows = list(csv.reader(path.read_text("utf-8").splitlines()))
    assert header == ["base displacement (in)", "base load (kip)"]
    curve = [(float(w), float(q)) for w, q in rows]
    assert curve == sorted(curve)
    largest = curve[-1][1]
    assert all(q < 0.03 * largest for w, q in curve if w <= 0.4)
    assert all(q > 0.2 * largest for w, q in curve if w >= 0.65)


@given(st.sampled_from(FILES), st.integers(0, 400))
@settings(max_examples=120, deadline=None)
def test_a_line_left_out_is_refused_or_read_but_never_breaks(path, number):
    lines = path.read_text("utf-8").splitlines(keepends=True)
    del lines[number % len(lines)]
    try:
        assert read_plain_log("".join(lines), path.name).entries
    except PlainLogRefused as refused:
        assert refused.problems


@given(st.sampled_from(FILES), st.integers(0, 20_000), st.text(max_size=4))
@settings(max_examples=120, deadline=None)
def test_a_slip_of_the_pen_is_refused_or_read_but_never_breaks(path, place, slip):
    text = path.read_text("utf-8")
    place %= len(text)
    try:
        read_plain_log(text[:place] + slip + text[place + 1 :], path.name)
    except PlainLogRefused as refused:
        assert all(each.expected for each in refused.problems)


@given(st.text(max_size=300))
@settings(max_examples=150, deadline=None)
def test_any_text_is_refused_or_read_but_never_breaks(text):
    try:
        read_plain_log(text, "any.log")
    except PlainLogRefused as refused:
        assert str(refused)
