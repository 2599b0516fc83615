"""Targets and text fit in both ways of holding the tablet, at every text scale, in both schemes."""

from __future__ import annotations

import pytest
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.finding_row import ReasonRow
from fieldapp.ui.widgets.text import Words
from fieldapp.ui.widgets.theme import theme
from tests.screens import composed
from tests.support.driver import LANDSCAPE, PORTRAIT

SCREENS = {
    "sounding": lambda portrait: composed.sounding(portrait).root,
    "fluid": lambda portrait: composed.fluid(portrait).root,
    "findings": lambda _portrait: composed.findings(),
    "board": lambda _portrait: composed.board(),
}


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("name", SCREENS)
def test_no_target_is_small_and_no_text_is_cut_while_the_text_grows(hand, name, size):
    hand.resize(size)
    hand.show(SCREENS[name](size == PORTRAIT))
    for scale in (1.0, 1.5, 2.0):
        theme.text_scale = scale
        hand.settle()
        assert hand.small_targets() == [], f"at text scale {scale}"
        assert hand.cut_labels() == [], f"at text scale {scale}"
        assert hand.close_targets() == [], f"at text scale {scale}"


@pytest.mark.parametrize("name", SCREENS)
def test_a_screen_opened_with_large_text_fits_as_well(hand, name):
    theme.text_scale = 2.0
    hand.show(SCREENS[name](False))
    assert hand.small_targets() == []
    assert hand.cut_labels() == []


@pytest.mark.parametrize("name", SCREENS)
def test_the_night_scheme_draws_the_same_layout(hand, name, tmp_path):
    hand.show(SCREENS[name](False))
    places = [(*w.pos, *w.size) for w in hand.widgets()]
    noon = hand.shot(tmp_path / "noon.png").read_bytes()
    theme.scheme = "night"
    hand.settle()
    assert [(*w.pos, *w.size) for w in hand.widgets()] == places
    assert hand.shot(tmp_path / "night.png").read_bytes() != noon


def test_the_guard_itself_sees_a_cut_label_and_a_small_target(hand):
    made = composed.fluid()
    hand.show(made.root)
    made.keypad.key_height = 40
    hand.settle()
    assert any("Key" in found for found in hand.small_targets())
    label = made.strip.next_button
    label.full, label.text = 24, "Keep"
    label.size_hint, label.size = (None, None), (20, 20)
    assert hand.cut_labels()


def test_the_guard_sees_targets_that_stand_too_close_and_knows_the_seam_of_a_row(hand):
    rows = BoxLayout(orientation="vertical")
    pair = [ReasonRow(text=f"reason {number}", shown="not met") for number in (1, 2)]
    for row in pair:
        rows.add_widget(row)
    hand.show(rows)
    assert hand.close_targets() == []
    pair[0].seam = 2
    assert hand.close_targets() == ["ReasonRow 'reason 1' and ReasonRow 'reason 2': 2 px"]
    pair[0].seam = 16
    assert hand.small_targets()


def test_a_finger_on_the_seam_between_two_rows_takes_neither(hand):
    rows, taken = BoxLayout(orientation="vertical"), []
    for number in (1, 2):
        row = ReasonRow(text=f"reason {number}", shown="not met")
        row.bind(on_release=lambda each: taken.append(each.text))
        rows.add_widget(row)
    hand.show(rows)
    upper = rows.children[1]
    x, edge = upper.to_window(upper.center_x, upper.y)
    hand.tap_at(x, edge + 4)
    assert taken == []
    hand.tap_at(x, edge + 12)
    hand.tap_at(x, edge - 4)
    assert taken == ["reason 1", "reason 2"]


SENTENCES = (
    "Share of the base within the limit: 20 % of 1 1/2 in, 4 h after 104.4 h at 1250 psi and 40 s/qt",
    "Fondo con menos de 1 1/2 in, se pide 50 %; 64 \N{DEGREE SIGN}F el 18 may 14:05, 946 mL a 1040 kg/m3",
    "Firm bottom 31' 9\" of 31' 10 1/4\" on 12 May 2029, 90 deg and 3-1/2 in from the centre",
)
PARTED = {
    *("20", "1", "1/2", "4", "104.4", "1250", "40"),
    *("50", "64", "18", "946", "1040"),
    "31'",
    "10",
    "12",
    "90",
    "3",
}


@pytest.mark.parametrize("said", SENTENCES)
def test_no_line_ends_between_a_number_and_its_unit_or_in_a_fraction_or_a_date(hand, said):
    words = Words(text=said, size_hint_x=None)
    hand.show(BoxLayout()).add_widget(words)
    for width in range(140, 700, 5):
        words.width = width
        hand.pump(2)
        lines = ["".join(part.text for part in line.words) for line in words._label._cached_lines]
        ends = [line.replace("\N{NO-BREAK SPACE}", " ").split(" ")[-1] for line in lines[:-1]]
        assert not PARTED & set(ends), (width, lines)
        assert hand.cut_labels() == []


def test_a_fraction_that_was_typed_with_a_stroke_is_shown_like_every_other(hand):
    words = Words(text="at most 1-1/2 in, not p1-1/2024 and not 2026-05-12")
    hand.show(BoxLayout()).add_widget(words)
    drawn = words._label.text.replace("\N{NO-BREAK SPACE}", " ")
    assert drawn == "at most 1 1/2 in, not p1-1/2024 and not 2026-05-12"
    assert words.text.startswith("at most 1-1/2")


def test_the_name_of_a_file_is_broken_rather_than_shrunk_until_nobody_can_read_it(hand):
    theme.text_scale = 2.0
    path = "/media/card/projects of May/p1-1-log-20260512-1322-31600bdb7095-signed.pdf"
    words = Words(text=path, size_hint_x=None)
    hand.show(BoxLayout()).add_widget(words)
    full = words.full
    for width in range(260, 1200, 20):
        words.width = width
        hand.settle()
        assert words.font_size >= 0.75 * full - 1, width
        drawn = "".join(part.text for line in words._label._cached_lines for part in line.words)
        assert drawn.replace(" ", "") == path.replace(" ", "")
        assert hand.cut_labels() == []
