"""A base credited by touch: by a number, above the estimate, or for want of evidence not at all."""

from __future__ import annotations

import pytest

from fieldapp.record.decisions import Disposition
from fieldapp.record.words import Decision
from fieldapp.ui.widgets.theme import theme
from tests.screens.decision_journey import (
    DESIGNER,
    SANDY,
    SOFT,
    go,
    hold,
    of_kind,
    unlock,
    write,
)


@pytest.mark.parametrize("mark", [pytest.param(".", marks=pytest.mark.long_walk), ","])
def test_the_designer_reduces_the_credit_with_a_number_at_a_displacement(site, mark, monkeypatch):
    on, folder, _ = site(SOFT, DESIGNER)
    monkeypatch.setattr(theme, "decimal_mark", mark)
    go(on, "credit", shaft="T-1")
    assert on.screen.page.credit.rows[0].name.startswith("service")
    on.tap_next()
    form = on.screen.form
    on.tap(form.choices.rows["reduced credit"])
    for code in ("0", "mark", "4", "next"):
        on.tap(form.keypad.key(code))
    assert form.in_hand == "displacement"
    for code in (*["back"] * len(form.keypad.text), "1", "mark", "1", "2", "5", "next"):
        on.tap(form.keypad.key(code))
    write(on, form.why, "Soft layer over most of the base.")
    hold(on, on.strip.next_button)
    unlock(on)
    assert (on.strip.next_text, on.strip.second_text) == ("Write the report", "Set the credit anew")
    on.leave()
    (entry,) = of_kind(folder, Disposition)
    assert entry.values.decision is Decision.REDUCED_CREDIT
    assert str(entry.values.credit) == "0.4"
    assert str(entry.values.displacement) == "1.125 in"
    assert "Soft layer over most of the base." in on.texts()


def test_a_credit_above_the_estimate_is_asked_about(site):
    on, folder, _ = site(SOFT, DESIGNER)
    go(on, "credit", shaft="T-1")
    on.tap_next()
    on.tap(on.screen.form.choices.rows["full credit"])
    write(on, on.screen.form.why, "By the load test.")
    hold(on, on.strip.next_button)
    unlock(on)
    assert "is above the best estimate of 0.98" in on.middle.foot.question.text
    on.tap(on.middle.foot.question.ids.no)
    on.leave()
    assert of_kind(folder, Disposition) == []


def test_without_a_credit_its_wants_stand_in_the_place_of_the_curves(site):
    on, _, _ = site(SANDY, DESIGNER)
    go(on, "credit", shaft="P1-3")
    assert "The credit is not shown, for want of:" in on.texts()
    assert "a fresh round: Round 1 is older than a failed fluid test at 14 May 11:02" in on.texts()
    assert on.screen.page.credit.charts == ()


def test_with_large_text_pages_turn_by_the_boxes_of_a_credit_and_part_none_of_them(site):
    theme.text_scale = 2.0
    on, _, _ = site(SOFT, DESIGNER)
    go(on, "credit", shaft="T-1")
    on.tap_next()
    form, pages = on.screen.form, on.middle.pages
    on.tap(form.choices.rows["reduced credit"])
    on.hand.settle()
    rows = [(round(top), round(low)) for top, low in pages._paging().rows]
    for box in form.boxes.values():
        assert tuple(map(round, pages._edges(box))) in rows


def test_a_heading_is_never_the_last_thing_on_a_page(site):
    on, _, _ = site(SOFT, DESIGNER)
    go(on, "credit", shaft="T-1")
    pages, stack = on.middle.pages, on.middle.ids.stack
    heads = [pages._edges(each) for each in stack.walk() if getattr(each, "leads", False) is True]
    assert len(heads) > 4
    start = -1.0
    while start < pages._start:
        start = pages._start
        end = start + pages.scroller.height
        assert not [low for top, low in heads if top >= start and abs(low - end) < 8], (
            "nothing stands under it"
        )
        on.hand.tap(pages.keys.children[0])
        on.hand.settle()
