"""What a hand does in the office, and what the project then holds: for the tests of its screens."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from kivy.core.window import Window

from fieldapp.desk.trust.roster import PersonNow, person_now
from fieldapp.identity.certificates import Term
from fieldapp.identity.keys import new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import Role
from fieldapp.ui.screens.people_lock import LockButton
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from tests.screens.journey import DEVICE, Journey, SteppedClock
from tests.support.driver import Driver

PASSPHRASE = "seven quiet herons on the bank"


ENGINEER = "R. Heron"


def empty(hand: Driver) -> Journey:
    session = Session(Path.home() / "Basenote", None, SteppedClock(), DEVICE)
    walk = Walk(session)
    walk.go("projects")
    Window.bind(on_keyboard=walk.key)
    hand.show(walk)
    on = Journey(hand, session, walk)
    on.wait()
    return on


def rows(on: Journey) -> dict[str, SetupRow]:
    return {each.title: each for each in on.screen.walk() if isinstance(each, SetupRow)}


def tap_row(on: Journey, title: str) -> None:
    on.tap(next(row for name, row in rows(on).items() if name.startswith(title)))


def open_part(on: Journey, part: str) -> None:
    on.walk.go("acceptance set")
    on.wait()
    on.tap(on.screen.rail.row(part))


def box(on: Journey, name: str) -> None:
    on.tap(on.middle.fields[name])


def write(on: Journey, name: str, text: str) -> None:
    box(on, name)
    field = on.middle.tools.text_field.typing
    field.text = ""
    field.insert_text(text)
    on.wait()


def choose(on: Journey, name: str, *values: str) -> None:
    for value in values:
        if on.middle.typing.name != name:
            box(on, name)
        on.tap(on.middle.tools.choices.rows[value])


def press_next(on: Journey) -> None:
    on.tap(on.middle.next)


def type_secret(on: Journey, **texts: str) -> None:
    for name, text in texts.items():
        field = on.screen.fields[name].typing
        field.text = ""
        field.insert_text(text)
    on.wait()


def make_project(on: Journey, name: str = "Heron bridge") -> Path:
    press_next(on)
    assert on.walk.current == "new project"
    write(on, "name", name)
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "resident engineer")
    press_next(on)
    on.wait()
    return on.session.folder


def holds(on: Journey) -> ProjectSetup:
    found: list[ProjectSetup] = []
    on.session.ask(lambda place: place.setup(), found.append, print)
    on.wait()
    return found[0]


def person(on: Journey, name: str) -> PersonNow:
    found: list[PersonNow] = []
    on.session.ask(lambda place: person_now(place, name), found.append, print)
    on.wait()
    return found[0]


def leave_as_killed(on: Journey) -> None:
    """The app ends without anybody going back: what is on disk is all there is."""
    on.wait()
    on.leave()


def hold_a_key(on: Journey) -> None:
    person = CertifiedPerson("Inspector A", (Role.INSPECTOR,), "Larkwater crossing")
    start = SteppedClock().now("UTC")
    on.session.hold_key(new_person_key(person, Term(start, start + timedelta(days=2))))
    assert on.session.key_of == "Inspector A"


def lock_button(on: Journey) -> LockButton | None:
    return next((each for each in on.screen.walk() if isinstance(each, LockButton)), None)
