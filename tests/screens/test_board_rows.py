"""The order of the board and what its rows say, without a window."""

from __future__ import annotations

from datetime import datetime

from fieldapp.desk.board import Board, BoardRow
from fieldapp.store.read_tables import CLOCKS
from fieldapp.ui.board_rows import chosen, counts, listed
from fieldapp.ui.words import common

ZONE = "America/Denver"
SEEN = "2026-05-12T14:00:00-06:00"
NOON = datetime.fromisoformat("2026-05-12T12:00:00-06:00")


def row(shaft, standing="rework", release="none", until="", concrete_in=False, as_of=SEEN, **more):
    step = "Clean the base again"
    return BoardRow(shaft, standing, step, release, until, concrete_in, as_of, **more)


def shown(*rows, now=None):
    return listed(Board("Larkwater crossing", ZONE, rows), now)


def names(found):
    return [each.data["shaft"] for each in found]


def test_a_lapsed_release_comes_first_then_rework_then_the_soonest_clock_then_the_name():
    found = shown(
        row("filed", "clean", concrete_in=True),
        row("designer", "reduced", concrete_in=True),
        row("P10", "clean"),
        row("P2", "not shown"),
        row("later", "clean", clocks=(("sound_by", "2026-05-12T18:00:00-06:00"),)),
        row("soon", "not shown", "released", "2026-05-12T16:20:00-06:00"),
        row("dirty", "rework"),
        row("lapsed", "clean", "lapsed"),
    )
    assert names(found) == ["lapsed", "dirty", "soon", "later", "P2", "P10", "designer", "filed"]


def test_a_shaft_needs_a_hand_until_its_concrete_has_finished():
    found = shown(
        row("filled", "clean", concrete_in=True, stage="Credit"),
        row("pouring", "clean", concrete_in=True, stage="Release"),
    )
    assert names(found) == ["pouring", "filled"]
    assert [each.needs_a_hand for each in found] == [True, False]


def test_against_their_latest_entries_the_shortest_time_left_comes_first_whatever_the_day():
    found = shown(
        row("early", "clean", clocks=(("sound_by", "2026-05-12T18:00:00-06:00"),)),
        row(
            "late",
            "clean",
            as_of="2026-05-20T14:00:00-06:00",
            clocks=(("sound_by", "2026-05-20T14:30:00-06:00"),),
        ),
    )
    assert names(found) == ["late", "early"]


def test_the_clock_that_matters_is_the_soonest_and_counts_down():
    clocks = (("sound_by", "2026-05-12T15:20:00-06:00"), ("test_fluid_by", "2026-05-12T14:45:00-06:00"))
    (found,) = shown(row("P", "not shown", clocks=clocks))
    assert (found.data["clock_caption"], found.data["clock"], found.data["late"]) == (
        "test the fluid by 14:45",
        "45 min",
        "",
    )
    (found,) = shown(
        row("P", "not shown", clocks=clocks), now=datetime.fromisoformat("2026-05-12T14:46:00-06:00")
    )
    assert (found.data["clock_caption"], found.data["clock"], found.data["late"]) == (
        "fluid test due since",
        "14:45",
        "due",
    )


def test_every_clock_of_the_read_tables_has_its_words():
    assert set(common.CLOCKS) == set(common.CLOCKS_OVER) == {*CLOCKS, "release_until"}


def test_the_choices_count_their_shafts_and_the_search_knows_no_spelling():
    found = shown(
        row("P1-2", "clean", concrete_in=True),
        row("P1-3", "not shown", "released", "2026-05-12T16:20:00-06:00"),
        row("T 12", "rework"),
    )
    assert counts(found) == {"needs a hand": 2, "all": 3, "released": 1, "concrete in": 1, "not shown": 1}
    assert [each["shaft"] for each in chosen(found, "all", "p12")] == ["P1-2"]
    assert [each["shaft"] for each in chosen(found, "all", "T-1")] == ["T 12"]
    assert [each["shaft"] for each in chosen(found, "not shown", "")] == ["P1-3"]
    assert chosen(found, "all", "x") == []


def test_a_shaft_that_the_designer_has_decided_needs_no_hand():
    (found,) = shown(row("P", "reduced", concrete_in=True, stage="filed"))
    assert not found.needs_a_hand


def test_the_time_of_concrete_stands_where_it_is_known():
    (found,) = shown(row("P", "clean", concrete_in=True, concrete_at="2026-05-12T19:34:00+00:00"))
    assert (found.data["clock_caption"], found.data["clock"]) == ("concrete in\n12 May", "13:34")


def test_only_a_clean_shaft_with_concrete_in_needs_no_hand():
    found = shown(
        row("filed", "clean", concrete_in=True),
        row("clean", "clean"),
        row("odd", "not shown", concrete_in=True),
    )
    assert {each.data["shaft"]: each.needs_a_hand for each in found} == {
        "clean": True,
        "odd": True,
        "filed": False,
    }


def test_a_release_says_until_when_and_how_long_is_left():
    (found,) = shown(row("P", "clean", "released", "2026-05-12T16:20:00-06:00"))
    assert found.data["clock_caption"] == "released until 16:20"
    assert found.data["clock"] == "2 h 20"  # from 14:00, the latest entry


def test_a_release_that_has_run_out_by_the_present_moment_is_lapsed():
    late = datetime.fromisoformat("2026-05-12T16:20:00-06:00")
    (found,) = shown(row("P", "clean", "released", "2026-05-12T16:20:00-06:00"), now=late)
    assert found.data["clock_caption"] == "release lapsed\n12 May"
    assert found.data["clock"] == "16:20"


def test_the_release_never_takes_the_place_of_the_standing():
    (found,) = shown(row("P", "not shown", "released", "2026-05-12T16:20:00-06:00"))
    assert (found.data["shown"], found.data["word"]) == ("not shown", "not shown")


def test_a_standing_that_is_not_known_here_is_never_shown_as_met():
    (found,) = shown(row("P", "spotless"))
    assert found.data["shown"] == "not shown"


def test_times_stand_in_the_zone_of_the_project():
    (found,) = shown(row("P", as_of="2026-05-12T20:00:00+00:00"))
    assert (found.data["clock_caption"], found.data["clock"]) == ("as of 12 May", "14:00")


def test_a_shaft_with_concrete_in_has_no_running_release():
    (found,) = shown(row("P", "clean", "released", "2026-05-12T16:20:00-06:00", concrete_in=True), now=NOON)
    assert found.data["clock_caption"] == "concrete in\nas of 12 May"
