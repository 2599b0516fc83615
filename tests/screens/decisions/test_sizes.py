"""The screens of decisions at every size: nothing is cut, and no target is small."""

from __future__ import annotations

import logging

import pytest
from kivy.logger import Logger

from fieldapp.ui.widgets.theme import theme
from tests.screens.decision_journey import (
    ENGINEER,
    SANDY,
    SOFT,
    go,
    hold,
    unlock,
    write,
)
from tests.support.driver import LANDSCAPE, PORTRAIT

WIDE = (1920, 1200)


@pytest.mark.long_walk
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT, WIDE], ids=["landscape", "portrait", "wide"])
def test_nothing_is_cut_and_no_target_is_small(site, hand, size):
    on, _, _ = site(SOFT, ENGINEER)
    hand.resize(size)

    def fits(where: str) -> None:
        for scale in (1.0, 1.5, 2.0):
            theme.text_scale = scale
            hand.settle()
            assert (where, scale, hand.cut_labels(), hand.small_targets()) == (where, scale, [], [])

    for screen in ("signoff", "release", "credit"):
        go(on, screen, shaft="T-1")
        fits(screen)
    on.tap_next()
    on.tap(on.screen.form.choices.rows["reduced credit"])
    fits("disposition")
    go(on, "release", shaft="T-1")
    on.screen.form.open_until()
    fits("until when")
    on.screen.form.close()
    write(on, on.screen.form.reason, "Ask the designer.")
    on.tap_second()
    assert on.walk.current == "unlock"
    fits("unlock")


def test_a_form_is_laid_out_in_one_frame_however_the_tablet_is_turned(site, hand):
    warned: list[str] = []

    class Listening(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            if "too much iteration" in record.getMessage():
                warned.append(record.getMessage())

    listening = Listening()
    Logger.addHandler(listening)
    try:
        on, _, _ = site(SOFT, ENGINEER)
        for size in (LANDSCAPE, WIDE, PORTRAIT, LANDSCAPE):
            hand.resize(size)
            for screen in ("signoff", "release", "credit"):
                go(on, screen, shaft="T-1")
                hand.settle()
    finally:
        Logger.removeHandler(listening)
    assert warned == []


@pytest.mark.parametrize(
    "size",
    [LANDSCAPE, pytest.param(PORTRAIT, marks=pytest.mark.long_walk)],
    ids=["landscape", "portrait"],
)
def test_a_long_question_in_large_text_stands_on_the_pages_over_its_answers(site, hand, size):
    hand.resize(size)
    theme.text_scale = 2.0
    on, _, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    write(on, on.screen.form.reason, "Sounded by hand, crew stands by.")
    hold(on, on.strip.next_button)
    unlock(on)
    question, middle = on.middle.foot.question, on.middle
    assert question.text in on.texts()
    parts = [each for each in middle.children if each.height > 1]
    assert sum(each.height for each in parts) <= middle.height, "nothing reaches over the bar or the stages"
    assert all(middle.y - 1 <= each.y and each.top <= middle.top + 1 for each in parts)
    assert hand.cut_labels() == []
    on.tap(question.ids.no)
    assert middle.foot.question is None
    assert question.text not in on.texts()
