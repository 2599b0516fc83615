"""The round lying and upright, with large text, and turned while somebody types."""

from __future__ import annotations

import pytest

from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.theme import theme
from tests.screens.round_journey import FIVE, begin_with
from tests.screens.views.round_views import ROUND_VIEWS
from tests.support.driver import LANDSCAPE, PORTRAIT


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize(
    "scale",
    [pytest.param(1.0, marks=pytest.mark.long_walk), pytest.param(1.5, marks=pytest.mark.long_walk), 2.0],
)
def test_the_field_in_hand_never_scrolls_out_of_view(hand, go, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    on = go()
    for scroll in (1.0, 0.5, 0.0):
        for page in (w for w in on.middle.walk() if isinstance(w, Pages)):
            page.scroller.scroll_y = scroll
        hand.settle()
        box = on.middle.fields.in_hand
        assert box.get_root_window() is not None
        (_, low), (_, high) = box.to_window(*box.pos), box.to_window(box.right, box.top)
        middle = on.middle
        assert middle.to_window(0, middle.y)[1] <= low < high <= middle.to_window(0, middle.top)[1] + 1
        assert hand.cut_labels() == []
        assert hand.small_targets() == []
    on.keys("3", "1", "'")
    assert "31'" in box.value
    on.keys("back", "back", "back")


@pytest.mark.long_walk
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
def test_no_text_is_cut_in_any_state_of_the_round_with_large_text(hand, go, size):
    hand.resize(size)
    theme.text_scale = 2.0
    on = go("")
    for name, walk_to in ROUND_VIEWS.items():
        walk_to(on)
        assert (name, hand.cut_labels()) == (name, [])
        assert (name, hand.small_targets()) == (name, [])


def test_turning_the_tablet_keeps_what_is_typed(hand, go):
    on = go()
    begin_with(on, FIVE)
    on.keys("3", "1", "'", "9")
    hand.resize(PORTRAIT)
    hand.settle()
    assert on.middle.fields.first == "31' 9"
    assert "over 1/2 in" in on.middle.figures.over
    assert on.middle.figures.upright
    on.keys('"')
    assert on.middle.fields.first == "31' 9\""


def test_a_long_refusal_in_large_text_leaves_the_keys_in_reach(hand, go):
    theme.text_scale = 2.0
    on = go()
    begin_with(on, FIVE)
    on.middle.refuse("Firm depth of point R5: 31' 9\" cannot be. Expected not above first contact.", "firm")
    hand.settle()
    pages = on.middle.key_pages
    assert pages.overflow
    assert pages.height > pages.keys.height + on.middle.keypad.key_height
    assert on.middle.fields.in_hand.get_root_window() is not None
