"""The screen of pictures lying and upright, with large text."""

from __future__ import annotations

import pytest

from fieldapp.ui.widgets.theme import theme
from tests.screens.picture_journey import entry, row
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver


def fits(hand: Driver) -> None:
    assert hand.cut_labels() == []
    assert hand.small_targets() == []


@pytest.mark.long_walk
@pytest.mark.parametrize(("size", "scale"), [(LANDSCAPE, 1.0), (LANDSCAPE, 2.0), (PORTRAIT, 2.0)])
def test_nothing_is_cut_on_the_screen_of_pictures(on, hand, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    entry(on, "photo")
    on.tap(on.middle.fields["picture"])
    fits(hand)
    on.tap(on.middle.tools.picture.choose)
    fits(hand)
    on.tap(row(on, "letter.png"))
    fits(hand)
    on.tap(row(on, "base.jpg"))
    fits(hand)
    on.tap(on.middle.next)
    on.tap(on.middle.fields["picture"])
    fits(hand)
