"""Only the top of the sediment was read: no thickness is shown until the firm bottom is read too."""

from __future__ import annotations

from fieldapp.desk.workplace import read_project
from fieldapp.record.cleaning import SoundingRound
from tests.screens.journeys.heron import CLEAN, CLEANED, DAY, INSPECTOR, SHAFT, heron
from tests.screens.journeys.heron import CLEAN_THICK as THICK
from tests.screens.journeys.inspecting import clock_at, reasons, record, sound, standing, work_until

FIRST_ONLY = {label: (first, "") for label, (first, _) in CLEAN.items()}
MOST_TAPS = 130


def test_first_contact_alone_shows_no_thickness_and_firm_depths_settle_it(
    opens, taps, tmp_path, record_property
):
    folder = heron(tmp_path, CLEANED)
    clock = clock_at(DAY, "09:30")
    on = opens(folder, clock)
    on.tap_shaft(SHAFT)
    on.tap_next()
    sound(on, FIRST_ONLY)
    assert on.middle.figures.ids.share.number == "not shown"
    record(on, by=INSPECTOR)

    assert standing(on) == "not shown"
    against = reasons(on)
    assert against["sounding both depths"] == (
        "Points C, R1, R2, R3, R4: first contact or firm bottom is missing."
    )
    assert against["base largest thickness"].endswith("the largest is not known.")
    assert "0 % to 100 % of the base may be under 1/2 in" in against["base area share"]
    base = on.screen.base.ids
    assert base.plan.cells == []
    assert {each.label for each in base.plan.points} == set(THICK)
    figures = (base.share, base.largest, base.mean)
    assert [each.number for each in figures] == ["not shown"] * 3
    assert on.strip.next_text == "Next: sound the base"

    work_until(clock, "09:50")
    row = next(w for w in on.strip.pages.content.children if w.subject == "sounding both depths")
    on.tap(row)
    assert on.walk.current == "round"
    sound(on, CLEAN)
    record(on)
    left = reasons(on)
    assert not {each for each in left if each.startswith("base ")}
    assert "sounding both depths" not in left
    assert {each.label: each.text for each in on.screen.base.ids.plan.cells} == THICK
    assert on.screen.base.ids.largest.number == "1/2 in"
    on.leave()
    with read_project(folder) as place:
        rounds = [each.values for each in place.shaft(SHAFT).of(SoundingRound)]
    assert [[each.firm is None for each in made.points] for made in rounds] == [[True] * 5, [False] * 5]
    record_property("taps", taps.made)
    assert taps.made <= MOST_TAPS
