"""Identity, times, labels and amendments of the entries of a typed log."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from uuid import UUID

import pytest

from fieldapp.exchange.plain_ids import plain_id
from fieldapp.exchange.plain_log import read_plain_log
from fieldapp.record.reading import Reading
from tests.exchange.plain_text import HEAD

NOTES = "09:10  note\n  text  one\n\n09:10  note\n  text  two\n\n09:10  note  #n\n  text  three\n"


def entries(body: str, head: str = HEAD):
    return read_plain_log(head + body, "typed.log").entries


def test_the_same_text_gives_the_same_identifiers():
    first, again = entries(NOTES), entries(NOTES)
    assert first == again
    assert len({each.id for each in first}) == 3


def test_identifiers_are_uuids_of_version_7_that_begin_with_the_time_observed():
    moment = datetime(2026, 5, 12, 15, 10, tzinfo=UTC)
    for each in entries(NOTES):
        made = UUID(each.id)
        assert (made.version, made.variant) == (7, "specified in RFC 4122")
        assert made.int >> 80 == int(moment.timestamp()) * 1000


def test_another_device_shaft_project_or_kind_gives_another_identifier():
    heads = [
        HEAD,
        HEAD.replace("tablet north", "tablet south"),
        HEAD.replace("P1-1", "P1-2"),
        HEAD.replace("larkwater", "vesker"),
    ]
    assert len({entries(NOTES, head)[0].id for head in heads}) == 4


def test_words_that_tell_entries_apart_cannot_run_together():
    moment = datetime(2026, 5, 12, tzinfo=UTC)
    assert plain_id(moment, ["a", "bc"]) != plain_id(moment, ["ab", "c"])


def test_blank_lines_and_comments_change_nothing():
    loose = re.sub(r"\n\n", "\n\n# a remark\n\n", NOTES)
    assert [e.id for e in entries(loose)] == [e.id for e in entries(NOTES)]


def test_header_lines_change_day_author_device_and_shaft_from_there_on():
    body = (
        NOTES + "day  2026-05-13\nauthor  Inspector B\ndevice  tablet south\nshaft  P1-2\n\n"
        "00:05  note\n  text  after midnight\n"
    )
    last = entries(body)[-1]
    assert (last.author, last.device, last.shaft) == ("Inspector B", "tablet south", "P1-2")
    assert last.observed_at.isoformat() == "2026-05-13T00:05:00-06:00"


def test_a_late_entry_says_when_it_was_recorded():
    (late,) = entries("09:10  note\n  text  x\n  recorded  2026-05-13 08:00\n")
    assert late.observed_at.isoformat() == "2026-05-12T09:10:00-06:00"
    assert late.recorded_at.isoformat() == "2026-05-13T08:00:00-06:00"


def test_confirmed_names_what_the_author_was_asked_about():
    (entry,) = entries("09:10  note\n  text  x\n  confirmed  density-jump, depth-off\n  author  Designer\n")
    assert entry.confirmed == ("density-jump", "depth-off")
    assert entry.author == "Designer"


ROUND = """09:10  sounding round  #r1
  number      1
  why         after pass
  instrument  tape 1
  point  C   r 0 in    angle 0    first 30' 1"   firm 30' 1 1/2"
  point  N   r 2' 1"   angle 0    first 30' 1"   firm 31' 0 1/2"

"""


def test_an_amendment_lists_only_what_changes_and_says_everything():
    body = ROUND + "09:20  amend #r1\n  because  crossed\n  point  N  firm 30' 1 1/4\"\n"
    first, amend = entries(body)
    says = amend.says.says
    assert says.points[0] == first.says.points[0]
    assert says.points[1].firm == Reading("30' 1 1/4\"", "ft-in")
    assert says.points[1].r == first.says.points[1].r
    assert (says.number, says.why, says.instrument) == (1, "after pass", "tape 1")


def test_a_second_amendment_follows_the_first_and_keeps_what_it_said():
    body = (
        ROUND + "09:20  amend #r1\n  because  crossed\n  point  N  firm 30' 1 1/4\"\n\n"
        "09:30  amend #r1\n  because  wrong tape\n  instrument  tape 2\n"
    )
    first, second, third = entries(body)
    assert second.says.target == third.says.target == first.id
    assert third.parents == (second.id,)
    assert third.says.says.points == second.says.says.points
    assert third.says.says.instrument == "tape 2"


def test_an_amendment_can_take_a_reading_away_and_add_a_point():
    body = ROUND + (
        "09:20  amend #r1\n  because  rope fouled\n  point  N  first -  firm -  no reading rope fouled\n"
        "  point  S  r 2' 1\"  angle 180  first 30' 1\"  firm 30' 1\"\n"
    )
    points = entries(body)[1].says.says.points
    assert [each.label for each in points] == ["C", "N", "S"]
    assert (points[1].firm, points[1].no_reading) == (None, "rope fouled")


def test_an_amendment_that_cannot_be_is_refused_at_its_line():
    with pytest.raises(ValueError, match="line 17, firm depth of point N: read '30' 0\""):
        entries(ROUND + "09:20  amend #r1\n  because  x\n  point  N  firm 30' 0\"\n")


def test_a_time_alone_can_be_amended():
    body = (
        '07:35  head reading  #h\n  fluid level  4"\n\n08:40  amend #h\n  because  clock\n  observed  08:35\n'
    )
    first, amend = entries(body)
    assert amend.says.says == first.says
    assert amend.says.observed_at.isoformat() == "2026-05-12T08:35:00-06:00"


def test_time_may_go_back_only_where_the_clock_was_corrected():
    back = (
        "09:10  note\n  text  x\n\n08:20  event\n  what  clock corrected\n  text  was an hour fast\n\n"
        "08:25  note\n  text  y\n"
    )
    assert [each.observed_at.hour for each in entries(back)] == [9, 8, 8]
