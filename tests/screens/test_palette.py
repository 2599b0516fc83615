"""Contrast of every pair that is shown, by the formula of WCAG 2.2 (relative luminance, contrast ratio)."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest

import fieldapp.ui
from fieldapp.ui.widgets.palette import CIVIDIS, PALETTES, class_of, opposite

SCHEMES = list(PALETTES.values())
TEXT_ON = (
    ("ink", "ground"),
    ("ink", "well"),
    ("soft", "ground"),
    ("soft", "well"),
    ("act_ink", "act"),
    ("ground", "ink"),
)
"""Every colour of text on every ground that it is read on."""
TEXT = re.compile(r"^ *(?:\w+_)?color$|^ *(?:printed|faint|plain_ink)$")
FILL = re.compile(r"^ *(?:fill_color|background_color|plain_fill)$")
NO_TEXT = ("edge_color", "cursor_color", "selection_color", "state_ink")
SELECTED = 0.35
"""How far the act colour covers the ground under selected text (text_field.kv)."""


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_gives_the_published_extremes():
    assert contrast("#FFFFFF", "#000000") == pytest.approx(21.0)  # WCAG 2.2, definition of contrast ratio
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)  # the well-known AA grey


@pytest.mark.parametrize("scheme", SCHEMES, ids=lambda s: s.name)
@pytest.mark.parametrize(("text", "under"), TEXT_ON)
def test_text_stands_at_seven_to_one(scheme, text, under):
    assert contrast(getattr(scheme, text), getattr(scheme, under)) >= 7


def tokens(of: re.Pattern[str]) -> set[str]:
    """The tokens that kv files give to properties of these names."""
    found = set()
    for path in Path(str(fieldapp.ui.__file__)).parent.rglob("*.kv"):
        for line in path.read_text("utf-8").splitlines():
            name, _, value = line.partition(":")
            if of.match(name) and not name.strip().endswith(NO_TEXT) and (of is FILL or not FILL.match(name)):
                found |= set(re.findall(r"\btheme\.([a-z_]+)", value)) - {"scheme"}
    return found


def test_no_screen_has_text_or_a_ground_that_is_not_held_here():
    assert tokens(TEXT) == {text for text, _ in TEXT_ON}
    assert tokens(FILL) == {under for _, under in TEXT_ON}


@pytest.mark.parametrize("scheme", SCHEMES, ids=lambda s: s.name)
def test_selected_text_stands_at_seven_to_one(scheme):
    kv = (Path(str(fieldapp.ui.__file__)).parent / "widgets" / "text_field.kv").read_text("utf-8")
    assert re.search(rf"selection_color: theme.act\[0\], .*, 0?\.{str(SELECTED)[2:]}$", kv, re.MULTILINE)
    pairs = [(int(scheme.act[i : i + 2], 16), int(scheme.ground[i : i + 2], 16)) for i in (1, 3, 5)]
    mixed = "#" + "".join(f"{round(SELECTED * act + (1 - SELECTED) * under):02X}" for act, under in pairs)
    assert contrast(scheme.ink, mixed) >= 7


# The hairline is left out: it only parts rows that air parts already, and never bounds a target in use.
@pytest.mark.parametrize("scheme", SCHEMES, ids=lambda s: s.name)
@pytest.mark.parametrize("under", ["ground", "well"])
@pytest.mark.parametrize("shape", ["line", "soft", "act", "met", "not_met", "not_shown", "ink"])
def test_shapes_and_borders_stand_at_three_to_one(scheme, shape, under):
    assert contrast(getattr(scheme, shape), getattr(scheme, under)) >= 3


@pytest.mark.parametrize("scheme", SCHEMES, ids=lambda s: s.name)
def test_marks_inside_shapes_and_shapes_on_reversed_rows_stand_at_three_to_one(scheme):
    assert contrast(scheme.state_ink, scheme.met) >= 3
    assert contrast(scheme.state_ink, scheme.not_met) >= 3
    for shape in (scheme.met, scheme.not_met, opposite(scheme.name).not_shown):
        assert contrast(shape, scheme.ink) >= 3


@pytest.mark.parametrize("group", CIVIDIS, ids=lambda g: g.fill)
def test_a_number_on_a_thickness_class_stands_at_seven_to_one(group):
    assert contrast(group.ink, group.fill) >= 7


def test_thickness_classes_darken_in_one_direction_so_that_they_read_in_grey():
    shades = [luminance(group.fill) for group in CIVIDIS]
    assert shades == sorted(shades, reverse=True)
    assert all(a / b > 1.3 for a, b in pairwise(shades))


def test_a_thickness_at_a_limit_is_inside_its_class():
    limits = (0.25, 0.5, 1.0, 1.5)
    assert [class_of(t, limits) for t in (0, 0.25, 0.26, 0.5, 0.75, 1.5, 1.51)] == [0, 0, 1, 1, 2, 3, 4]


@pytest.mark.parametrize("limits", [(1, 2, 3), (1, 2, 2, 3), (4, 3, 2, 1)])
def test_limits_that_do_not_make_five_classes_are_refused(limits):
    with pytest.raises(ValueError, match="four ascending limits"):
        class_of(1, limits)


def test_a_thickness_that_is_not_a_number_is_never_thin():
    with pytest.raises(ValueError, match="not read"):
        class_of(math.nan, (1, 2, 3, 4))
