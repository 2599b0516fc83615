"""What is higher than its page is parted where nobody misses a half: between keys, or between lines."""

from __future__ import annotations

import pytest

from fieldapp.ui.widgets.finding_row import ReasonRow
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.question import Question
from fieldapp.ui.widgets.strip import Reason, Strip
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.widgets.whole_rows import NEAR_PX, Paging
from tests.screens.on_the_glass import shown

LONG = "A void was seen under the base beside the rim, black behind it; the rod goes down through it. "


def low_page(hand, *parts, height: float, width: float = 320) -> Pages:
    page = Pages(size_hint=(None, None), size=(width, height))
    for each in parts:
        page.add_widget(each)
    return shown(hand, page)


def edge(page: Pages) -> float:
    """Where the page ends, on the glass."""
    return float(page.scroller.to_window(0, page.scroller.y)[1])


def test_no_key_of_a_pad_is_cut_by_the_end_of_its_page(hand):
    pad = Keypad()
    page = low_page(hand, pad, height=300)  # four rows of keys are 312 dp high
    assert page.overflow
    end = edge(page)
    for key in pad.children:
        low, high = key.to_window(*key.pos)[1], key.to_window(0, key.top)[1]
        assert low >= end - 1 or high <= end + 1, key.text


def test_no_line_of_a_long_reason_is_cut_by_the_end_of_its_page(hand):
    theme.text_scale = 2.0
    row = ReasonRow(text=LONG * 2, shown="not met")
    page = low_page(hand, row, height=400)
    assert page.overflow
    words = row.ids.words
    top, end = words.to_window(0, words.top)[1], edge(page)
    lines = [top - each for each in words.line_ends()]
    assert min(abs(each - end) for each in lines) <= NEAR_PX


def test_a_page_begins_with_a_whole_row_again_when_heights_change():
    paging = Paging([(0, 100), (100, 180), (180, 600), (600, 700)], 700, 300)
    assert paging.whole(130) == 100
    assert paging.whole(100) == 100
    assert paging.whole(250) == 250  # inside of a row that is higher than the page
    assert not paging.begins_whole(130)
    assert paging.begins_whole(180)
    assert paging.begins_whole(paging.last)


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_the_strip_keeps_a_page_for_its_reasons_however_long_its_buttons_say(hand, scale):
    theme.text_scale = scale
    strip = Strip(
        size_hint=(None, None),
        size=(316, 670),
        caption="base standing",
        shown="not met",
        word="not creditable",
        reasons=[Reason("not met", LONG, 1), Reason("not shown", LONG, 2)],
        clock_caption="concrete held, measure the water by 22 May",
        clock="13:42",
        second_text="Sound the base",
        next_text="Ask the engineer: the base cannot be counted",
    )
    shown(hand, strip)
    assert strip.cramped == (scale == 2.0)
    assert strip.pages.height >= strip.pages.keys.height + 60
    assert hand.close_targets() == []
    assert hand.cut_labels() == []
    strip.next_text = "Next"
    hand.settle()
    assert not strip.cramped
    assert strip.next_button.full == pytest.approx(24 * scale)


def test_the_band_of_an_upright_strip_keeps_its_arrow_off_the_next_thing(hand):
    strip = Strip(caption="what this entry needs", next_text="Next: label", compact=True)
    shown(hand, strip)
    assert hand.close_targets() == []


def test_both_answers_to_a_question_are_as_high(hand):
    theme.text_scale = 2.0
    made = Question(text="Record all the same?", no_text="No, check it", yes_text="Record all the same")
    made.size_hint_x, made.width = None, 710
    shown(hand, made)
    assert made.ids.no.height == made.ids.yes.height
