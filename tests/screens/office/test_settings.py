"""Settings by touch: in force at once; the units of a project are the office's."""

from __future__ import annotations

from fieldapp.desk.trust.key_time import key_minutes
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import projects as words
from tests.screens.office_journey import (
    choose,
    holds,
)


def test_settings_are_in_force_as_soon_as_they_are_chosen(opens, folder):
    on = opens(folder)
    on.session.person = "Resident engineer"
    on.walk.go("settings")
    on.wait()
    choose(on, "scheme", "night")
    assert theme.scheme == "night"
    choose(on, "text_scale", "1.25")
    assert theme.text_scale == 1.25
    choose(on, "decimal_mark", ",")
    assert on.middle.tools.keypad.mark == ","
    choose(on, "key_time", "5")
    assert key_minutes() == 5
    choose(on, "units", "SI")
    assert str(holds(on).units) == "SI"
    assert "SI units from now on" in on.texts()
    choose(on, "language", "es")
    assert on.screen.bar.title == "Ajustes"
    now = on.session.preferences.now
    assert (now.language, now.scheme, now.text_scale, now.decimal_mark) == ("es", "night", 1.25, ",")


def test_the_units_of_a_project_are_no_matter_of_an_inspector(opens, folder):
    on = opens(folder)
    on.session.person = "Inspector A"
    on.walk.go("settings")
    on.wait()
    choose(on, "units", "SI")
    assert "may not make a project set-up" in on.texts()
    assert on.middle.fields["units"].value == words.UNITS_US
    assert str(holds(on).units) == "US"


def test_without_a_project_the_settings_of_the_device_are_there_all_the_same(opens):
    on = opens()
    on.walk.go("settings")
    on.wait()
    assert not {"units", "keep_picture_positions"} & set(on.middle.fields)
    assert "Nothing is sent from this device unless a paper is signed" in on.texts()
