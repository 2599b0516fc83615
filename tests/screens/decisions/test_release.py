"""Concrete released, held, withdrawn and lapsed by touch; the journal on disk is the judge."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Hold, Release, Withdrawal
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Reading
from fieldapp.ui import asks_decisions
from tests.screens.decision_journey import (
    CLEAN,
    ENGINEER,
    INSPECTOR,
    SANDY,
    go,
    hold,
    of_kind,
    opened,
    release_clean,
    said,
    unlock,
    write,
)
from tests.screens.journey import EVENING, begin


def test_a_release_over_findings_takes_a_reason_and_a_second_word(site):
    on, folder, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    # 4 h after drilling came within 5 ft of the base at 08:50; the forecast's time was over at 10:59
    assert on.screen.form.box.value == "12:50"
    assert said(on) == "1 not met, 5 not shown. To release all the same, write the reason."
    on.tap_next()
    assert (on.walk.current, on.strip.next_text) == ("release", "Write the reason")
    assert on.screen.form.reason.field.typing.focus
    write(on, on.screen.form.reason, "Sounded by hand, crew stands by.")
    write(on, on.screen.form.conditions, "Tremie sealed.")
    on.screen.form.reason.field.typing.focus = False
    assert on.strip.next_text == "Hold down to release until 12:50"
    hold(on, on.strip.next_button)
    unlock(on)
    assert of_kind(folder, Release) == []
    assert "The release passes over 1 not met, 5 not shown: fluid sand," in on.middle.foot.question.text
    assert "the base is to be sounded again by 14 May 10:59" in on.middle.foot.question.text
    assert not on.strip.next_able
    on.tap(on.middle.foot.question.ids.yes)
    assert said(on).startswith(
        "Released until 14 May 12:50 by Resident engineer.\nConditions: Tremie sealed."
    )
    assert on.strip.clock == "12:50"
    assert on.strip.clock_caption.startswith("released, 1:1")
    assert (on.strip.next_text, on.strip.second_text) == ("Countersign the log", "Withdraw the release")
    on.leave()
    (entry,) = of_kind(folder, Release)
    assert entry.values.until == SANDY[2].replace(hour=12, minute=50)
    assert set(entry.draft.confirmed) == {"override", "past-forecast"}
    assert entry.values.conditions == "Tremie sealed."


def test_a_release_is_withdrawn_with_its_reason(site):
    on, folder, _ = site(CLEAN, ENGINEER)
    release_clean(on)
    on.tap_second()
    assert "reason" in said(on).lower()
    assert of_kind(folder, Withdrawal) == []
    write(on, on.screen.form.reason, "The pump failed.")
    on.tap_second()
    assert said(on) == "The release was withdrawn by Resident engineer. The pump failed."
    on.leave()
    (entry,) = of_kind(folder, Withdrawal)
    assert entry.values.release == of_kind(folder, Release)[0].id


def test_a_release_lapses_at_once_after_a_dirty_round(site):
    on, _, _ = site(CLEAN, ENGINEER)
    release_clean(on)

    def dirty(place: Any) -> Entry:
        values = place.shaft(CLEAN[0]).last(SoundingRound).values
        soft_layer = {"first_contact": None, "firm": None, "thickness": Reading("3", "in")}
        points = tuple(replace(each, **soft_layer) for each in values.points)
        soft = replace(values, number=values.number + 1, points=points)
        return record_entry(place, Saying(CLEAN[0], soft, INSPECTOR))

    refused: list[Exception] = []
    on.session.ask(dirty, on.session.recorded, refused.append)
    on.wait()
    assert refused == []
    on.screen.again()
    on.wait()
    assert said(on).startswith("The release by Resident engineer has lapsed.")
    assert on.strip.next_text == "Write the reason"
    assert on.screen.table.row("Base").shown == "not met"


def test_concrete_is_held_with_a_reason_only(site):
    on, folder, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    on.tap_second()
    assert said(on) == "Write the reason why concrete is on hold, then hold it."
    assert on.walk.current == "release", "no passphrase is asked for before there is a reason"
    write(on, on.screen.form.reason, "Exchange the fluid first.")
    on.tap_second()
    unlock(on)
    assert said(on) == "Concrete is on hold by Resident engineer. Exchange the fluid first."
    on.leave()
    assert [each.values.reason for each in of_kind(folder, Hold)] == ["Exchange the fluid first."]


def test_another_time_is_typed_and_a_time_that_is_over_is_not_offered(site):
    on, _, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    write(on, on.screen.form.reason, "Sounded by hand, crew stands by.")
    on.tap(on.screen.form.box)
    pad = on.screen.form.moment.keypad
    pad.text = "12:15"
    assert (on.strip.next_text, on.strip.second_text) == ("Take this time", "")
    on.tap_next()
    assert on.strip.next_text == "Hold down to release until 12:15"
    on.screen.form.open_until()
    pad.text = "11:15"
    on.hand.pump(4)
    assert (on.strip.next_text, on.strip.next_able) == ("This time is over already.", False)
    on.screen.form.close()
    assert on.screen.form.box.says == "This time is over already."
    assert (on.strip.next_text, on.strip.next_able) == ("Say until when", True)
    on.wait()  # the strip is laid out anew
    on.tap_next()
    assert on.screen.form.timing, "the way out of a time that is over leads to another one"


def test_beside_the_time_stands_what_ends_the_release_then(site):
    on, _, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    # by the sample's set: fluid may touch the bottom for 4 h, and drilling came near it at 08:50
    caption, time, why = on.screen.ends.told
    assert (caption, time) == ("a release would hold until", "12:50")
    assert "fluid contact with the bottom is not met" in why
    assert "the bottom of the hole: 4 h" in why
    assert why in on.texts()


def test_with_concrete_in_and_its_time_past_a_release_is_shown_once_and_nothing_is_asked_again(
    hand, tmp_path, monkeypatch
):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    # by the sample log of P1-1: released until 13:50, concrete from 13:34; now it is the 22nd
    on, clock = opened(hand, begin(tmp_path / "larkwater", "larkwater", ("P1-1",)), EVENING)
    asked: list[str] = []
    page = asks_decisions.decision_page

    def counted(place: Any, kind: str, *given: str) -> Any:
        asked.append(kind)
        return page(place, kind, *given)

    monkeypatch.setattr(asks_decisions, "decision_page", counted)
    try:
        on.session.person = ENGINEER
        go(on, "release", shaft="P1-1")
        assert said(on).startswith("Released until 12 May 13:50 by Resident engineer.")
        assert asked == ["release"]
        for _ in range(4):
            clock.moment += timedelta(hours=1)
            on.screen._count_down()
            on.wait()
        assert asked == ["release"]
        assert (on.strip.next_text, on.strip.second_text, on.strip.clock) == ("Countersign the log", "", "")
        assert on.screen.form.parent is None, "with concrete in there is nothing left to decide"
    finally:
        on.leave()


def test_a_release_whose_time_ends_under_the_eyes_is_asked_about_once(site, monkeypatch):
    on, _, clock = site(CLEAN, ENGINEER)
    release_clean(on)
    assert on.strip.clock_caption.startswith("released, ")
    asked: list[str] = []
    page = asks_decisions.decision_page

    def counted(place: Any, kind: str, *given: str) -> Any:
        asked.append(kind)
        return page(place, kind, *given)

    monkeypatch.setattr(asks_decisions, "decision_page", counted)
    clock.moment += timedelta(hours=5)
    for _ in range(4):
        on.screen._count_down()
        on.wait()
    assert asked == ["release"]
    assert said(on).startswith("The release by Resident engineer has lapsed.")


def test_what_is_half_written_is_there_again_after_the_app_was_closed(site, hand):
    on, folder, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    write(on, on.screen.form.conditions, "Tremie sealed.")
    on.press()
    on.leave()
    again, _ = opened(hand, folder, SANDY[2])
    try:
        go(again, "release", shaft="P1-3")
        assert again.screen.form.conditions.text == "Tremie sealed."
    finally:
        again.leave()


def test_a_row_opens_its_findings_and_leads_to_the_entry_that_settles_them(site):
    on, _, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    on.tap(on.screen.table.row("Base"))
    assert "No round after cage and before concrete since the last cleaning." in on.texts()
    on.tap_text("Settle it: sound the base")
    assert on.walk.current == "round"


def test_beside_the_clock_of_a_release_stands_nothing_of_another_clock(site):
    """The head is to be read sooner than the release ends: its time left is not that of the release."""
    on, _, _ = site(CLEAN, ENGINEER)
    release_clean(on)
    assert on.strip.clock_caption.startswith("released, ")
    on.screen.sides._show_clock()  # as every ten seconds
    on.screen._count_down()
    assert on.strip.clock_note == ""


def test_no_tick_stands_beside_what_somebody_may_not_do(site):
    on, _, _ = site(CLEAN, INSPECTOR)
    go(on, "release", shaft=CLEAN[0])
    assert "hand the tablet over on the board" in said(on)
    assert on.middle.shown == "due"
