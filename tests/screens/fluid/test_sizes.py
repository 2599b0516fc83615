"""The fluid test held either way, in large text and in both languages."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from kivy.uix.behaviors import ButtonBehavior

from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import tongue
from tests.screens.journey import Journey, set_out
from tests.screens.views.fluid_views import FLUID_VIEWS
from tests.support.driver import LANDSCAPE, PORTRAIT


@pytest.mark.parametrize(
    ("size", "scale"),
    [
        (LANDSCAPE, 1.0),
        pytest.param(PORTRAIT, 1.0, marks=pytest.mark.long_walk),
        pytest.param(LANDSCAPE, 2.0, marks=pytest.mark.long_walk),
        (PORTRAIT, 2.0),
    ],
)
@pytest.mark.parametrize("name", ["fluid_watch_runs", "fluid_water_cold", "fluid_instruments"])
def test_nothing_is_cut_and_no_target_is_small(hand, larkwater, tmp_path, name, size, scale):
    on = set_out(hand, Path(shutil.copytree(larkwater, tmp_path / "larkwater")))
    try:
        FLUID_VIEWS[name](on)
        hand.resize(size)
        theme.text_scale = scale
        hand.settle()
        assert hand.cut_labels() == []
        assert hand.small_targets() == []
    finally:
        on.leave()


def halves(on: Journey) -> list[str]:
    """What can be pressed and is parted by the end of its page, though it has room on one."""
    found = []
    for pages in (each for each in on.middle.walk(restrict=True) if isinstance(each, Pages)):
        if not pages.overflow:
            continue
        room, end = pages.height - pages.keys.height, pages.scroller.to_window(*pages.scroller.pos)[1]
        for box in (each for each in pages.content.walk(restrict=True) if isinstance(each, ButtonBehavior)):
            foot, head = box.to_window(*box.pos)[1], box.to_window(0, box.top)[1]
            if foot < end - 1 and head > end + 1 and box.height <= room:
                found.append(f"{type(box).__name__} {box.size}")
    return found


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("language", [pytest.param(tongue.ENGLISH, marks=pytest.mark.long_walk), "es"])
def test_no_box_is_parted_while_a_question_makes_its_page_low(hand, larkwater, tmp_path, language, size):
    tongue.choose(language)
    hand.resize(size)
    theme.text_scale = 2.0
    on = set_out(hand, Path(shutil.copytree(larkwater, tmp_path / "larkwater")))
    try:
        FLUID_VIEWS["fluid_asked"](on)
        hand.settle()
        assert on.middle.ids.foot.question is not None
        assert halves(on) == []
        on.middle.ids.foot.close()
        hand.settle()
        assert on.middle.watch.ids.key.height == 160  # as large as a hand again
    finally:
        on.leave()
        tongue.choose(tongue.ENGLISH)
