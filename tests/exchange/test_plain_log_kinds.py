"""Every kind of entry can be typed, without a parser of its own, and comes back as it was."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.exchange.plain_entry import PlainDecision
from fieldapp.exchange.plain_log import read_plain_log
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.exchange.plain_setup import PlainSetup
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend, Strike, Withdrawal
from fieldapp.record.kinds import ALL, PROJECT_KINDS, TYPED_KINDS
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import FluidStage
from tests.exchange.plain_text import HEAD, field_lines
from tests.support.examples import BASIS, EXAMPLES

REFERRING = (Amend, Strike, Withdrawal)


def only(text: str):
    (entry,) = read_plain_log(text, "typed.log").entries
    return entry


def last(text: str):
    return read_plain_log(text, "typed.log").entries[-1]


def test_there_is_an_example_of_every_kind():
    assert {type(each) for each in EXAMPLES} == set(ALL)


@pytest.mark.parametrize(
    "values",
    [
        each
        for each in EXAMPLES
        if each.KIND in TYPED_KINDS and not isinstance(each, (*REFERRING, ProjectSetup))
    ],
    ids=lambda each: each.KIND,
)
def test_an_entry_of_every_kind_comes_back_as_it_was_typed(values):
    text = f"{HEAD}09:10  {values.KIND}\n{field_lines(values, frozenset({'basis'}))}"
    entry = only(text)
    says = entry.says.settled(BASIS) if isinstance(entry.says, PlainDecision) else entry.says
    assert says == values
    assert entry.kind == values.KIND
    assert entry.shaft == (None if values.KIND in PROJECT_KINDS else "P1-1")
    assert entry.draft("larkwater", says).values == values


@pytest.mark.parametrize("kind", sorted({each.KIND for each in ALL} - set(TYPED_KINDS)))
def test_what_only_a_key_can_make_is_not_typed(kind):
    with pytest.raises(PlainLogRefused, match="one of"):
        read_plain_log(f"{HEAD}09:10  {kind}\n  seq  1\n", "typed.log")


def test_a_project_set_up_waits_for_the_acceptance_set_that_it_names():
    values = next(each for each in EXAMPLES if isinstance(each, ProjectSetup))
    typed = field_lines(values, frozenset({"acceptance"}))
    text = f"{HEAD}09:10  project set-up\n  acceptance  two-limits\n{typed}"
    entry = only(text)
    assert isinstance(entry.says, PlainSetup)
    assert entry.says.acceptance == "two-limits"
    assert entry.says.settled(values.acceptance, "Resident engineer") == values


def test_an_amendment_and_a_strike_name_their_entry_by_its_label():
    amend = next(each for each in EXAMPLES if isinstance(each, Amend))
    text = (
        f"{HEAD}07:40  head reading  #h1\n  fluid level  1' 2\"\n\n"
        f"08:00  amend #h1\n{field_lines(amend.says)}"
        f"  observed  {amend.observed_at.isoformat(sep=' ')}\n  because  {amend.why}\n\n"
        "08:05  strike #h1\n  because  entered twice\n"
    )
    first, second, third = read_plain_log(text, "typed.log").entries
    assert second.says == Amend(first.id, amend.says, amend.why, amend.observed_at)
    assert second.parents == (first.id,)
    assert third.says == Strike(first.id, "entered twice")
    assert third.parents == (second.id,)
    assert second.shaft == third.shaft == "P1-1"


def test_a_withdrawal_names_its_release():
    text = (
        f"{HEAD}13:00  release  #rel\n  until  15:00\n\n"
        "13:30  withdrawal\n  release  #rel\n  reason  tremie delayed\n"
    )
    release, withdrawal = read_plain_log(text, "typed.log").entries
    assert withdrawal.says == Withdrawal(release.id, "tremie delayed")
    assert withdrawal.parents == (release.id,)


sane = st.decimals(min_value=0, max_value=140, places=3, allow_nan=False).map(lambda number: f"{number:f}")
levels = st.one_of(
    st.tuples(sane, st.sampled_from(["m", "ft"])),
    st.tuples(st.integers(0, 400), st.integers(0, 11), st.integers(0, 7)).map(
        lambda p: (f"{p[0]}' {p[1]}{f' {p[2]}/8' if p[2] else ''}\"", "ft-in")
    ),
)


@given(levels)
@settings(max_examples=60, deadline=None)
def test_a_reading_keeps_the_text_that_was_typed(level):
    values = HeadReading(Reading(*level))
    assert only(f"{HEAD}09:10  head reading\n{field_lines(values)}").says == values


@given(st.sampled_from(list(FluidStage)), st.integers(1, 999), sane, st.decimals("59.5", "93.5", places=1))
@settings(max_examples=60, deadline=None)
def test_any_fluid_test_comes_back_as_it_was_typed(stage, number, depth, density):
    values = FluidTest(stage, number, Reading(depth, "m"), density=Reading(f"{density:f}", "pcf"))
    assert only(f"{HEAD}09:10  fluid test\n{field_lines(values)}").says == values


def test_the_example_of_the_manual_reads():
    text = f"""{HEAD}
07:40  shaft P1-2  excavation stage
  from depth     0' 0"
  to depth       22' 0"
  tool           rock auger
  material       weathered shale

09:10  sounding round  #r1
  number      1
  why         after pass
  after pass  2
  instrument  tape 1
  point  C   r 0 in      angle 0    first 61' 4 1/2"   firm 61' 4 3/4"
  point  N   r 2' 1"     angle 0    first ...          no reading: cage in the way
"""
    stage, made = read_plain_log(text, "manual.log").entries
    assert stage.shaft == "P1-2"
    assert made.shaft == "P1-1"
    centre, north = made.says.points
    assert centre.firm == Reading("61' 4 3/4\"", "ft-in")
    assert (north.first_contact, north.no_reading) == (None, "cage in the way")
    assert made.observed_at.isoformat() == "2026-05-12T09:10:00-06:00"
    assert last(text).recorded_at == made.observed_at


def test_single_spaces_tabs_and_marks_of_a_word_processor_read_as_well():
    text = f"{HEAD}09:10\thead reading\n\tfluid level 3\N{PRIME} 2\N{DOUBLE PRIME}\n\tmake up\ton\n"
    assert only(text).says.fluid_level == Reading("3' 2\"", "ft-in")
