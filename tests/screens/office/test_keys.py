"""Keys by touch: made, brought, changed, revoked, locked; no passphrase stays anywhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.desk.trust.people import make_key
from fieldapp.identity.errors import Locked
from fieldapp.ui import session as session_module
from fieldapp.ui.tablet import Tablet
from fieldapp.ui.words import people as people_words
from tests.identity.own_files import OWN_PHRASE, own_file
from tests.screens.journey import Journey, entries_of
from tests.screens.office_journey import (
    PASSPHRASE,
    hold_a_key,
    leave_as_killed,
    lock_button,
    person,
    press_next,
    tap_row,
    type_secret,
)


def test_keys_are_made_brought_changed_and_revoked_and_no_passphrase_stays_anywhere(opens, folder):
    (Path.home() / "mine.p12").write_bytes(own_file())
    on = opens(folder)
    on.session.person = "Resident engineer"
    on.walk.go("people")
    on.wait()
    tap_row(on, "Inspector A")
    tap_row(on, people_words.OWN_KEY)
    tap_row(on, "mine.p12")
    assert on.walk.current == "person key"
    type_secret(on, opens=OWN_PHRASE, new="12345", again="12345")
    assert not on.middle.next_able
    assert "too short" in on.texts()
    type_secret(on, new=PASSPHRASE, again=PASSPHRASE + "x")
    assert not on.middle.next_able
    type_secret(on, again=PASSPHRASE)
    fields = [each.typing for each in on.screen.fields.values()]
    press_next(on)
    on.wait()
    assert "a certificate of one's own" in on.texts()
    assert [each.text for each in fields] == ["", "", ""]

    tap_row(on, people_words.NEW_PASSPHRASE)
    other = "eleven loud otters under a bridge"
    type_secret(on, opens="not the right one", new=other, again=other)
    press_next(on)
    on.wait()
    assert "does not open" in on.middle.said
    type_secret(on, opens=PASSPHRASE)
    press_next(on)
    on.wait()
    assert people_words.CHANGED.format(name="Inspector A") in on.texts()

    tap_row(on, people_words.UNLOCK)
    type_secret(on, opens=other)
    on.press()
    assert [each.typing.text for each in on.walk.get_screen("person key").fields.values()] == [""]
    tap_row(on, people_words.REVOKE)
    on.tap(on.middle.tools.suggested.rows["tablet lost"])
    press_next(on)
    on.tap(on.middle.foot.question.ids.yes)
    on.wait()
    assert person(on, "Inspector A").key.says[0].startswith("revoked since 22 May 18:")
    on.walk.go("person page", person="Inspector A")
    on.wait()
    assert people_words.REVOKE not in on.texts().splitlines()  # it is: only an earlier time can be said
    tap_row(on, people_words.REVOKE_EARLIER)
    on.tap(on.middle.tools.suggested.rows["tablet lost"])
    press_next(on)
    assert on.middle.foot.question is None
    assert on.middle.typing.name == "since"
    on.press()
    leave_as_killed(on)
    told = [each.draft.values for each in entries_of(folder)][-1]
    assert (told.holder, told.why) == ("Inspector A", "tablet lost")
    written = [
        each for each in (*folder.rglob("*"), *Path.home().parent.rglob("device/**/*")) if each.is_file()
    ]
    assert len(written) >= 3
    for each in written:
        content = each.read_bytes()
        assert not [phrase for phrase in (PASSPHRASE, other, OWN_PHRASE) if phrase.encode() in content], each


def unlock(on: Journey, name: str = "Inspector A") -> None:
    on.session.ask(lambda place: make_key(place, name, PASSPHRASE), lambda _: None, print)
    on.wait()
    on.walk.go("person page", person=name)
    on.wait()
    tap_row(on, people_words.UNLOCK)
    type_secret(on, opens=PASSPHRASE)
    press_next(on)
    on.wait()
    assert on.session.key_of == name


def test_an_open_key_has_its_button_in_every_bar_and_one_tap_locks_it(opens, folder):
    on = opens(folder)
    unlock(on)
    assert on.session.key().certificate.name == "Inspector A"
    for go in (lambda: on.walk.go("board"), lambda: on.walk.go("shaft", shaft="P1-4")):
        go()
        on.wait()
        assert lock_button(on) is not None
    on.tap(lock_button(on))
    assert on.session.key_of == ""
    assert lock_button(on) is None
    with pytest.raises(Locked):
        on.session.key()


def test_a_key_locks_when_nobody_touches_when_the_app_is_left_and_for_another_person(
    opens, folder, monkeypatch
):
    on = opens(folder)
    hold_a_key(on)
    now_s = session_module.monotonic()
    monkeypatch.setattr(session_module, "monotonic", lambda: now_s + 170)
    on.hand.tap_at(640, 30)
    monkeypatch.setattr(session_module, "monotonic", lambda: now_s + 340)
    on.session.touched()
    assert on.session.key()
    monkeypatch.setattr(session_module, "monotonic", lambda: now_s + 521)
    on.hand.until(lambda: on.session.key_of == "")
    with pytest.raises(Locked):
        on.session.key()
    monkeypatch.undo()

    for leave in (lambda: left_in_the_pocket(on), lambda: on.walk.get_screen("person")._choose("Designer")):
        hold_a_key(on)
        on.walk.go("person")
        on.wait()
        leave()
        assert on.session.key_of == ""


def left_in_the_pocket(on: Journey) -> None:
    tablet = Tablet(on.session)
    tablet.root = on.walk
    assert tablet.on_pause()
