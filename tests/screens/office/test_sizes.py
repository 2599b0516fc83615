"""The screens of the office at every size: nothing is cut, and no target is small."""

from __future__ import annotations

import pytest

from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import tongue
from tests.screens.office_journey import (
    hold_a_key,
    lock_button,
)
from tests.support.driver import LANDSCAPE, PORTRAIT

WIDE = (1920, 1200)


VISITS = (
    ("setup", {}),
    ("acceptance", {}),
    ("acceptance set", {}),
    ("acceptance number", {"key": "max_thickness_anywhere"}),
    ("acceptance number", {"key": "rounds_required"}),
    ("acceptance changes", {}),
    ("people", {}),
    ("person page", {"person": "Inspector A"}),
    ("person roles", {}),
    ("person key", {"person": "Designer", "does": "make"}),
    ("person key", {"person": "Inspector A", "does": "change"}),
    ("revoke key", {"person": "Inspector A"}),
    ("projects", {}),
    ("folder", {"wants": "project", "chosen": print}),
    ("new project", {}),
    ("person", {}),
    ("settings", {}),
)


@pytest.mark.parametrize(
    ("size", "scale", "language"),
    [
        pytest.param(LANDSCAPE, 1.0, "en", marks=pytest.mark.long_walk),
        pytest.param(LANDSCAPE, 2.0, "es", marks=pytest.mark.long_walk),
        pytest.param(PORTRAIT, 1.5, "en", marks=pytest.mark.long_walk),
        pytest.param(PORTRAIT, 2.0, "es", marks=pytest.mark.long_walk),
        pytest.param(WIDE, 2.0, "en", marks=pytest.mark.long_walk),
    ],
)
def test_no_text_is_cut_and_no_target_is_small(hand, opens, folder, size, scale, language):
    hand.resize(size)
    theme.text_scale = scale
    tongue.choose(language)
    on = opens(folder)
    on.session.person = "Resident engineer"
    hold_a_key(on)
    for name, given in VISITS:
        on.walk.go(name, **given)
        on.wait()
        assert on.walk.current == name
        assert hand.cut_labels() == [], name
        assert hand.small_targets() == [], name
        assert lock_button(on) is not None
        for each in list(getattr(on.middle, "fields", ())):
            on.tap(on.middle.fields[each])
            assert hand.cut_labels() == [], (name, each)
            assert hand.small_targets() == [], (name, each)
    places = [(*w.pos, *w.size) for w in hand.widgets()]
    theme.scheme = "night"
    hand.settle()
    assert [(*w.pos, *w.size) for w in hand.widgets()] == places
