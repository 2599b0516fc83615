"""Every screen at twice the text size, both ways of holding the tablet: no text cut, no target small."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from kivy.uix.widget import Widget

from fieldapp.ui.session import Session
from fieldapp.ui.widgets.theme import theme
from tests.screens.journey import Journey, begin, depth_keys, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT

SHAFTS = ("P1-4", "P2-1")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("fit") / "larkwater", "larkwater", SHAFTS)


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


def fits(on: Journey, screen: str) -> None:
    assert on.walk.current == screen
    assert on.hand.cut_labels() == []
    assert on.hand.small_targets() == []
    assert on.hand.close_targets() == []


@pytest.mark.parametrize(
    ("size", "scale"),
    [(LANDSCAPE, 1.0), pytest.param(LANDSCAPE, 2.0, marks=pytest.mark.long_walk), (PORTRAIT, 2.0)],
    ids=["landscape", "landscape, large text", "portrait, large text"],
)
def test_no_text_is_cut_and_no_target_is_small_on_any_screen(hand, folder, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    on = set_out(hand, folder)
    try:
        fits(on, "board")
        on.tap(on.middle.ids.who)
        fits(on, "person")
        on.tap_text("Inspector A")
        on.walk.go("shaft", shaft="P2-1")
        on.wait()
        for stage in ("Base", "Pictures and notes"):
            on.tap_stage(stage)
            fits(on, "shaft")
        on.walk.go("round", shaft="P2-1")
        on.wait()
        fits(on, "round")
        on.keys(*depth_keys("26' 0\""))
        on.tap_next()
        on.keys(*depth_keys("25' 11 1/2\""))
        on.tap_next()
        assert on.middle.fields.refused == "firm"
        fits(on, "round")
        on.tap_second()
        fits(on, "round")
        on.walk.go("fluid", shaft="P1-4")
        on.wait()
        on.keys("8", "5", "next")
        fits(on, "fluid")
        on.tap_next()
        assert on.middle.ids.foot.question is not None
        fits(on, "fluid")
        for kind, name in (
            ("head reading", "make_up"),
            ("cleanout pass", "started_at"),
            ("base sighting", "seen"),
            ("note", "text"),
        ):
            on.walk.go("entry", shaft="P1-4", kind=kind)
            on.wait()
            fits(on, "entry")
            on.tap(on.middle.fields[name])
            fits(on, "entry")
        on.tap(on.middle.fields["observed_at"])
        fits(on, "entry")
        on.walk.stop_here("basenote-stopped-20260522-180200.txt")
        on.wait()
        fits(on, "stopped")
    finally:
        on.leave()


def test_the_night_scheme_changes_no_place(hand, folder):
    on = set_out(hand, folder)
    on.walk.go("shaft", shaft="P1-4", stage="Base")
    on.wait()
    places = [(*w.pos, *w.size) for w in hand.widgets()]
    theme.scheme = "night"
    hand.settle()
    assert [(*w.pos, *w.size) for w in hand.widgets()] == places
    on.leave()


def test_the_guard_sees_what_is_cut(hand, folder):
    on = set_out(hand, folder)
    label: Widget = next(w for w in on.screen.walk() if getattr(w, "text", "").startswith("Larkwater"))
    label.text_size = label.size = (20, 20)
    assert hand.cut_labels()
    assert isinstance(on.session, Session)
    on.leave()
