"""What is shown of the base: map, shares, what is over, an earlier round; or that it is not shown."""

from __future__ import annotations

from tests.screens.journey import depth_keys
from tests.screens.round_journey import FIVE, begin_with
from tests.screens.views.round_views import EIGHTHS, depth


def test_nothing_is_shown_of_the_whole_base_while_a_point_has_no_thickness(go):
    on = go()
    begin_with(
        on, tuple(each for each in EIGHTHS if each != "R8"), R8={"first_contact": "31' 11\"", "unit": "ft-in"}
    )
    figures = on.middle.figures
    numbers = {name: figures.ids[name].number for name in ("share", "assured", "largest", "mean")}
    assert set(numbers.values()) == {"not shown"}
    assert figures.missing == "Share, largest and mean not shown: 1 of 9 points has no thickness."
    assert figures.ids.grid.opacity == 0
    reasons = {each.text: each.shown for each in on.strip.reasons}
    assert reasons["1 of 9 points has no thickness."] == "not shown"


def test_first_contact_only_shows_no_thickness_and_says_so_by_shape(go):
    on = go()
    begin_with(
        on, (), **{label: {"first_contact": depth(each), "unit": "ft-in"} for label, each in EIGHTHS.items()}
    )
    assert on.middle.plan.cells == []
    assert all(each.no_reading for each in on.middle.plan.points)
    assert on.middle.fields.said.startswith("Every point has its answer.")
    assert on.middle.fields.shown == "not shown"
    assert on.middle.figures.missing.startswith("Share, largest and mean not shown: 9 of 9")
    assert on.screen.hand.now.over == ()


def test_every_saved_point_updates_map_shares_and_the_place_to_sound_next(go):
    on = go()
    begin_with(on, tuple(each for each in EIGHTHS if each != "R8"))
    assert on.screen.hand.now.unread == ("R8",)
    on.keys(*depth_keys("31' 11 3/4\""))
    on.tap_next()
    on.keys("same")
    on.tap_next()
    on.wait(hops=3)
    now, figures = on.screen.hand.now, on.middle.figures
    assert now.unread == ()
    assert figures.ids.share.number == now.view.share
    assert figures.ids.assured.number == now.assured
    assert figures.ids.assured.caption.replace("\u00a0", " ") == "assured at 95 %"
    assert figures.ids.largest.number == "1 5/8 in"  # R4: 13 eighths
    assert {each.label: each.text for each in on.middle.plan.cells}["R8"] == "1/4"


def test_the_strip_says_what_is_over_and_where_and_leads_to_the_point(go):
    on = go()
    begin_with(on, tuple(EIGHTHS))
    reasons = [(each.shown, each.text) for each in on.strip.reasons]
    # R1 4/8 (under 1/2 is asked), R2 7/8, R3 10/8, R4 13/8: from upstation to the lower right
    assert ("not met", "R1, R2, R3, R4 over 1/2 in, on the right.") in reasons
    assert any(shown == "not met" and text.startswith("Largest 1 5/8 in") for shown, text in reasons)
    row = next(w for w in on.strip.pages.content.children if getattr(w, "text", "").startswith("R1, R2"))
    on.tap(row)
    assert on.walk.current == "round"
    assert on.screen.hand.typing.label == "R1"


def test_an_earlier_round_stands_beside_with_its_difference_at_each_point(go):
    on = go()
    begin_with(on, FIVE)
    on.tap(on.middle.tools.button("compare"))
    panel = on.middle.beside_panel
    assert [each.text for each in panel.ids.row.children] == ["Round 1"]
    assert {each.label: each.text for each in panel.ids.plan.cells}["C"] == "1/8"
    said = [each.text for each in reversed(panel.ids.said.children)]
    # round 1 of the sample log: C 1/8, R1 1/4, R2 1/4 in; now 2/8, 4/8, 7/8 in
    assert said[:3] == ["C: +1/8 in, was 1/8 in", "R1: +1/4 in, was 1/4 in", "R2: +5/8 in, was 1/4 in"]
    assert "R5: not shown, was 3/8 in" in said
    on.tap_second()
    assert on.middle.part == "keys"
