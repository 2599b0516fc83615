"""The screens of decisions at every size: nothing is cut, and no target is small."""

from __future__ import annotations

import pytest

from fieldapp.ui.widgets.theme import theme
from tests.screens.decision_journey import (
    ENGINEER,
    SOFT,
    go,
    write,
)
from tests.support.driver import LANDSCAPE, PORTRAIT

WIDE = (1920, 1200)


@pytest.mark.every_size
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
