"""What holds for every record: unknown is never met, and the order of arrival changes nothing."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.criteria.finding import Outcome, Standing
from fieldapp.criteria.findings import RULE_NAMES, RULES, findings
from fieldapp.criteria.standing import base_standing
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.entry import ChainHead, Entry, seal
from fieldapp.record.shaft import project_record
from tests.criteria.stories import found, passing, stands
from tests.support.journals import SHAFT, Journal, at, five_points

QUICK = settings(max_examples=25, deadline=None)
STORY = passing("1/4", "1/4", "1/4", "1/4", "1/4")
STORY.sound(2, at("10:35"), five_points("1/4", "1/4", "3/8", "1/4", "1/4"))
# Requirements that rest on every entry of a kind in the passing story.
RESTS_ON = {
    SoundingRound: ("base area share", "base largest thickness", "sounding both depths", "sounding points"),
    FluidTest: ("fluid sand", "fluid density", "fluid funnel time", "fluid pH", "fluid sets in a row"),
    HeadReading: ("head now", "head through cleaning"),
}
thicknesses = st.sampled_from(["0", "1/8", "1/4", "3/8", "1/2", "1", "1 1/2", "2"])


def without(journal: Journal, gone: tuple[type, ...]) -> Journal:
    """The same story told without the entries of some kinds."""
    told = Journal(journal.acceptance, now=journal.now)
    for each in journal.entries:
        if not isinstance(each.values, gone):
            told.entries.append(resealed(told, each))
    return told


def resealed(journal: Journal, entry: Entry) -> Entry:
    chain = [each for each in journal.entries if each.device == entry.device]
    head = ChainHead(entry.device, chain[-1].seq, chain[-1].hash) if chain else ChainHead(entry.device)
    return seal(entry.draft, head, len(journal.entries) + 1)


def test_the_story_passes_before_anything_is_taken_away():
    assert stands(STORY).standing is Standing.CLEAN
    for names in RESTS_ON.values():
        assert {found(STORY)[name].outcome for name in names} == {Outcome.MET}


@QUICK
@given(gone=st.sets(st.sampled_from(list(RESTS_ON)), min_size=1))
def test_without_readings_nothing_that_rested_on_them_is_met(gone):
    told = without(STORY, tuple(gone))
    got = found(told)
    for kind in gone:
        for name in RESTS_ON[kind]:
            assert got[name].outcome is not Outcome.MET, name
    assert stands(told).standing is not Standing.CLEAN


@QUICK
@given(
    thickness=st.lists(thicknesses, min_size=5, max_size=5),
    unread=st.sets(st.integers(0, 4), min_size=1),
)
def test_a_point_without_firm_bottom_never_gives_a_clean_base(thickness, unread):
    half = [None if n in unread else each for n, each in enumerate(thickness)]
    journal = passing(*half)
    got = found(journal)
    for name in ("base area share", "base largest thickness", "sounding both depths"):
        assert got[name].outcome is not Outcome.MET
    assert stands(journal).standing is not Standing.CLEAN


@QUICK
@given(thickness=st.lists(thicknesses, min_size=5, max_size=5), lost=st.integers(0, 4))
def test_losing_a_reading_never_turns_not_met_into_met(thickness, lost):
    before = found(passing(*thickness))
    after = found(passing(*[None if n == lost else each for n, each in enumerate(thickness)]))
    for name, finding in after.items():
        if finding.outcome is Outcome.MET:
            assert before[name].outcome in {Outcome.MET, Outcome.NOT_ASKED}, name


@QUICK
@given(
    field=st.sampled_from(["density", "funnel_time", "sand", "ph", "temperature"]), number=st.integers(0, 3)
)
def test_a_property_missing_from_one_sample_leaves_the_fluid_unproven(field, number):
    samples = [each for each in STORY.entries if isinstance(each.values, FluidTest)]
    wanted = samples[number]
    told = Journal(STORY.acceptance, now=STORY.now)
    for each in STORY.entries:
        entry = each
        if each is wanted:
            values = replace(each.values, **{field: None})
            entry = replace(each, draft=replace(each.draft, values=values))
        told.entries.append(resealed(told, entry))
    assert stands(told).standing is not Standing.CLEAN


@QUICK
@given(order=st.permutations(list(range(len(STORY.entries)))))
def test_the_order_of_arrival_changes_no_finding(order):
    shuffled = project_record("test-job", [STORY.entries[n] for n in order])
    straight = STORY.record()
    moment = STORY.now + timedelta(minutes=1)
    got = findings(shuffled, shuffled.shafts[SHAFT], moment)
    assert got == findings(straight, straight.shafts[SHAFT], moment)
    assert base_standing(shuffled, shuffled.shafts[SHAFT], got).standing is Standing.CLEAN


@QUICK
@given(cut=st.integers(1, len(STORY.entries) - 1))
def test_no_shorter_journal_is_clean_before_its_first_round(cut):
    record = project_record("test-job", STORY.entries[:cut])
    shaft = record.shaft(SHAFT)
    first_round = min(n for n, each in enumerate(STORY.entries) if isinstance(each.values, SoundingRound))
    if shaft is None or first_round < cut:
        return
    found_then = findings(record, shaft, STORY.entries[cut - 1].draft.recorded_at)
    assert base_standing(record, shaft, found_then).standing is not Standing.CLEAN


def test_every_finding_has_a_name_in_the_table_and_every_name_a_finding():
    assert {each.requirement for each in found(STORY).values()} == set(RULE_NAMES)
    assert len(RULES) == len(set(RULES))


def test_every_finding_against_the_shaft_says_what_it_asks_in_one_line():
    for journal in (passing("2", None, "1", "1", "1"), without(STORY, tuple(RESTS_ON))):
        for finding in found(journal).values():
            assert finding.says.strip().endswith(".") or finding.outcome is Outcome.NOT_MET
            assert "\n" not in finding.says
            if finding.outcome is Outcome.NOT_MET:
                assert finding.work is not None
                assert finding.limit
