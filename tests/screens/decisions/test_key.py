"""The key that a decision needs, by touch: wrong passphrases, somebody else's key, a device of its own."""

from __future__ import annotations

from pathlib import Path

from fieldapp.desk.device import device_folder
from fieldapp.desk.workplace import open_project
from fieldapp.record.decisions import Hold
from tests.screens.decision_journey import (
    DESIGNER,
    ENGINEER,
    PASSPHRASE,
    SANDY,
    go,
    of_kind,
    said,
    unlock,
    write,
)
from tests.screens.journey import DEVICE, Journey, SteppedClock


def test_wrong_passphrases_slow_down_and_stay_nowhere(site):
    on, folder, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    write(on, on.screen.form.reason, "Ask the designer.")
    on.tap_second()
    for _ in range(5):
        unlock(on, "quite another phrase")
        assert on.screen.secret.typing.text == ""
    assert "passphrase" in said(on)
    unlock(on, PASSPHRASE)
    assert "The passphrase was wrong 5 times. The next try is open in" in said(on)
    assert on.session.key_of == ""
    on.screen.secret.typing.insert_text("half of it")
    on.press()
    assert on.walk.current == "release"
    assert on.walk.get_screen("unlock").secret.typing.text == ""
    on.leave()
    assert of_kind(folder, Hold) == []
    with open_project(folder, SteppedClock(SANDY[2]), DEVICE) as place:
        kept = " ".join(each.body for each in place.journal.forms())
    assert "Ask the designer." in kept
    assert not any(word in kept for word in (PASSPHRASE, "quite another phrase", "half of it"))


def test_a_key_of_somebody_else_is_locked_and_the_right_one_asked_for(site):
    on, folder, _ = site(SANDY, ENGINEER)
    go(on, "release", shaft="P1-3")
    write(on, on.screen.form.reason, "Ask the designer.")
    on.tap_second()
    unlock(on)
    assert on.session.key_of == ENGINEER
    on.session.person = DESIGNER
    write(on, on.screen.form.reason, "I want it so.")
    on.tap_second()
    assert on.walk.current == "unlock"
    assert on.session.key_of == ""
    unlock(on)
    assert said(on) == "Designer may not make a hold: that takes a resident engineer."
    on.leave()
    assert [each.draft.author for each in of_kind(folder, Hold)] == [ENGINEER]


def test_the_device_of_these_tests_keeps_its_keys_apart(site, tmp_path):
    site(SANDY, ENGINEER)
    assert device_folder().is_relative_to(tmp_path)


def hold_without_a_key(site) -> tuple[Journey, Path]:
    """An engineer without a key on this device asks for a hold."""
    on, folder, _ = site(SANDY, ENGINEER)
    for each in (folder / "keys").glob("resident-engineer*"):
        each.unlink()
    go(on, "release", shaft="P1-3")
    write(on, on.screen.form.reason, "Ask the designer.")
    on.tap_second()
    return on, folder


def test_whoever_has_no_key_here_makes_one_and_the_decision_goes_on(site):
    on, folder = hold_without_a_key(site)
    assert on.walk.current == "unlock"
    assert (
        said(on) == "Resident engineer has no key on this device yet. Make it now, then the decision goes on."
    )
    assert on.screen.secret.parent is None  # no passphrase is asked for that nobody ever chose
    on.tap(on.middle.next)
    assert on.walk.current == "person key"
    for field in on.screen.fields.values():
        field.typing.insert_text(PASSPHRASE)
    on.wait()
    on.tap(on.middle.next)
    on.wait()
    assert (on.walk.current, on.session.key_of) == ("release", ENGINEER)
    assert said(on) == "Concrete is on hold by Resident engineer. Ask the designer."
    on.leave()
    assert [each.draft.author for each in of_kind(folder, Hold)] == [ENGINEER]


def test_who_turns_back_from_making_a_key_decides_nothing(site):
    on, folder = hold_without_a_key(site)
    on.tap(on.middle.next)
    on.press()
    assert (on.walk.current, on.middle.next.text) == ("unlock", "Make a key")
    on.press()
    on.leave()
    assert of_kind(folder, Hold) == []
