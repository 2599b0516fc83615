"""The order of the board and what its rows say, without a window."""

from __future__ import annotations

from datetime import datetime

from fieldapp.desk.board import Board, BoardRow
from fieldapp.ui.board_rows import listed

ZONE = "America/Denver"
SEEN = "2026-05-12T14:00:00-06:00"
NOON = datetime.fromisoformat("2026-05-12T12:00:00-06:00")


def row(shaft, standing="rework", release="none", until="", concrete_in=False, as_of=SEEN):
    return BoardRow(shaft, standing, "Clean the base again", release, until, concrete_in, as_of)


def shown(*rows, now=None):
    return listed(Board("Larkwater crossing", ZONE, rows), now)


def test_a_running_release_comes_first_then_the_open_holes_then_what_is_filed():
    found = shown(
        row("filed", "clean", concrete_in=True),
        row("clean", "clean"),
        row("unknown", "not shown"),
        row("dirty", "rework"),
        row("runs", "not shown", "released", "2026-05-12T16:20:00-06:00"),
        row("designer", "reduced", concrete_in=True),
    )
    assert [each.data["shaft"] for each in found] == [
        "runs",
        "dirty",
        "unknown",
        "clean",
        "designer",
        "filed",
    ]


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
    assert found.data["clock_caption"] == "released\nuntil 16:20"
    assert found.data["clock"] == "2:20"  # from 14:00, the latest entry


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
