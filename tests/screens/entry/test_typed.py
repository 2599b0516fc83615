"""Numbers on the entry screen: a wrong unit, what cannot be, what is unlikely, what was said last."""

from __future__ import annotations

from fieldapp.record.column import FluidTest
from tests.screens.entry_journey import box, choose, head_of, new_entry, take, type_number, typing
from tests.screens.journey import entries_of


def test_a_wrong_unit_is_recognised_and_the_other_one_taken_by_one_tap(go, folder):
    before = entries_of(folder)
    on = go("P1-4", kind="fluid test")
    choose(on, "stage", "drilling")
    type_number(on, "sample_depth", "2", "0", "'")
    type_number(on, "density", "1", "mark", "0", "5")
    offer = on.middle.tools.wrong_unit
    assert typing(on).name == "density"  # it is taken in hand again
    assert offer.text == "1.05 looks like g/cm3; the project shows pcf"
    on.tap(offer.buttons()[0])
    assert typing(on).typed.fields["density"] == "1.05 g/cm3"
    assert box(on, "density").caption == "density, g/cm3"
    assert (offer.text, box(on, "density").says.startswith("Density 1.05")) == ("", False)
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    values = new_entry(folder, before).values
    assert isinstance(values, FluidTest)
    assert (values.density.read, values.density.unit) == ("1.05", "g/cm3")


def test_a_value_that_cannot_be_is_refused_beside_its_field(go):
    on = go("P2-1", kind="event")
    type_number(on, "from_depth", "9", "0", "0", "'")
    assert box(on, "from_depth").shown == "not met"
    assert box(on, "from_depth").says.startswith("From depth: 900' cannot be. Expected length from 0' 0\" to")
    take(on, "from_depth")
    on.keys("back")
    assert box(on, "from_depth").says == ""


def test_what_is_unlikely_is_asked_once_and_recorded_with_the_answer(go, folder):
    before = entries_of(folder)
    on = go("P1-4", kind="head reading")
    type_number(on, "fluid_level", "2", "9", "'", "6")
    on.tap_next()
    assert on.walk.current == "entry"
    assert on.middle.ids.foot.question.text.endswith("Record all the same?")
    on.press()  # back closes the question
    assert on.middle.ids.foot.question is None
    on.tap_next()
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert on.walk.current == "shaft"
    on.leave()
    assert new_entry(folder, before).draft.confirmed == ("level-jump",)


def test_the_last_value_is_one_tap_away(go, folder):
    _, said = head_of(folder)
    on = go("P1-4", kind="head reading")
    on.keys("same")
    assert typing(on).typed.fields["fluid_level"] == said
