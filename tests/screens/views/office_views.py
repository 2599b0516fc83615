"""Views of the office: projects, set-up, people and keys, acceptance sets, settings."""

from __future__ import annotations

import shutil
from typing import TYPE_CHECKING, Any, Final

from tests.screens.views.sites import fresh, made_here

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.screens.journey import Journey

ENGINEER: Final = "Resident engineer"
INSPECTOR: Final = "Inspector A"
PASSPHRASE: Final = "six plain words for the test"
NUMBER: Final = "max_thickness_anywhere"


def _go(on: Journey, screen: str, **given: Any) -> None:
    on.session.person = on.session.person or ENGINEER
    on.walk.go(screen, **given)
    on.wait()


def _row(on: Journey, title: str) -> None:
    from fieldapp.ui.screens.setup_rows import SetupRow
    from fieldapp.ui.words.tongue import tr

    on.tap(next(w for w in on.screen.walk() if isinstance(w, SetupRow) and w.title == tr(title)))


def _write(on: Journey, name: str, text: str) -> None:
    on.tap(on.middle.fields[name])
    field = on.middle.tools.text_field.typing
    field.text = ""
    field.insert_text(text)
    on.wait()


def _choose(on: Journey, name: str, value: str) -> None:
    if on.middle.typing.name != name:
        on.tap(on.middle.fields[name])
    on.tap(on.middle.tools.choices.rows[value])


def _secret(on: Journey, **texts: str) -> None:
    for name, text in texts.items():
        on.screen.fields[name].typing.insert_text(text)
    on.wait()


def _new_device() -> None:
    """This device knows no project, and nothing is half typed on it."""
    from fieldapp.desk.projects.known import drop_half_typed, forget_project, known_projects

    made_here()
    for each in known_projects():
        forget_project(each.known.folder)
    drop_half_typed()


# --- projects -------------------------------------------------------------------------------------------


def projects_empty(on: Journey) -> None:
    _new_device()
    on.walk.trail.clear()
    on.session.person = ""
    on.walk.go("projects")
    on.wait()


def _known(on: Journey) -> Path:
    from fieldapp.desk.projects.known import remember_project

    _new_device()
    lost = fresh("card") / "hollin-pier"
    shutil.copytree(on.session.folder, lost)
    remember_project(lost, on.session.clock)
    remember_project(on.session.folder, on.session.clock)
    return lost


def projects(on: Journey) -> None:
    _known(on)
    _go(on, "projects")


def projects_lost(on: Journey) -> None:
    shutil.rmtree(_known(on))
    _go(on, "projects")


def projects_forget(on: Journey) -> None:
    from fieldapp.ui.screens.setup_rows import SetupRow

    projects_lost(on)
    on.tap(next(w for w in on.screen.walk() if isinstance(w, SetupRow) and w.shown == "not met"))


def project_folder(on: Journey) -> None:
    lost = _known(on)
    (lost.parent / "pictures of May").mkdir()
    _go(on, "folder", wants="project", chosen=print, start=lost.parent)


def project_folder_open(on: Journey) -> None:
    _go(on, "folder", wants="project", chosen=print, start=_known(on))


def new_project(on: Journey) -> None:
    _new_device()
    _go(on, "new project")


def new_project_half(on: Journey) -> None:
    new_project(on)
    _write(on, "name", "Heron bridge")
    _choose(on, "units", "US")
    _write(on, "time_zone", "denv")


def new_project_refused(on: Journey) -> None:
    new_project(on)
    _write(on, "name", "Heron bridge")
    _choose(on, "units", "US")
    _choose(on, "preset", "us-classic")
    _write(on, "person", "R. Heron")
    _choose(on, "roles", "inspector")
    on.tap(on.middle.next)
    on.wait()


def setup_new(on: Journey) -> None:
    new_project(on)
    on.tap(on.middle.second)
    on.walk.back()
    on.screen.above = fresh("new")
    _write(on, "name", "Heron bridge")
    _choose(on, "units", "US")
    _choose(on, "preset", "eu-en1536")
    _write(on, "person", "R. Heron")
    _choose(on, "roles", "resident engineer")
    on.tap(on.middle.next)
    on.wait(hops=4)


def setup(on: Journey) -> None:
    _go(on, "setup")


# --- people ---------------------------------------------------------------------------------------------


def people(on: Journey) -> None:
    _go(on, "people")


def _key(on: Journey, name: str) -> None:
    from fieldapp.desk.trust.people import make_key

    made_here()
    on.session.ask(lambda place: make_key(place, name, PASSPHRASE), lambda _: None, print)
    on.wait()


def _revoked(on: Journey, name: str) -> None:
    from fieldapp.ui import asks_project as asks
    from fieldapp.ui.asks import By

    _key(on, name)
    on.session.ask(
        lambda place: asks.revoke_key(place, name, "", "tablet lost", By(ENGINEER)), lambda _: None, print
    )
    on.wait()


def people_keys(on: Journey) -> None:
    _key(on, ENGINEER)
    _revoked(on, INSPECTOR)
    _go(on, "people")


def person_new(on: Journey) -> None:
    _go(on, "person page", person="Designer")


def person_key_held(on: Journey) -> None:
    _key(on, ENGINEER)
    _go(on, "person page", person=ENGINEER)


def person_unlocked(on: Journey) -> None:
    person_key_held(on)
    _row(on, "Unlock the key")
    _secret(on, opens=PASSPHRASE)
    on.tap(on.middle.next)
    on.wait()


def person_revoked(on: Journey) -> None:
    _revoked(on, INSPECTOR)
    _go(on, "person page", person=INSPECTOR)


def person_roles(on: Journey) -> None:
    _go(on, "person roles")


def person_roles_change(on: Journey) -> None:
    _go(on, "person roles", person=INSPECTOR)


def key_make(on: Journey) -> None:
    _go(on, "person key", person="Designer", does="make")
    _secret(on, new="12345")


def key_ready(on: Journey) -> None:
    _go(on, "person key", person="Designer", does="make")
    _secret(on, new=PASSPHRASE, again=PASSPHRASE)


def key_change(on: Journey) -> None:
    _key(on, ENGINEER)
    _go(on, "person key", person=ENGINEER, does="change")


def key_revoke(on: Journey) -> None:
    _key(on, INSPECTOR)
    _go(on, "revoke key", person=INSPECTOR)


def key_revoke_asked(on: Journey) -> None:
    from fieldapp.ui.words.tongue import tr

    key_revoke(on)
    on.tap(on.middle.tools.suggested.rows[tr("tablet lost")])
    on.tap(on.middle.next)


def board_lock(on: Journey) -> None:
    person_unlocked(on)
    _go(on, "board")


# --- acceptance sets ------------------------------------------------------------------------------------


def acceptance(on: Journey) -> None:
    _go(on, "acceptance")


def acceptance_numbers(on: Journey) -> None:
    _go(on, "acceptance set")
    on.tap(on.screen.rail.row("base"))


def acceptance_open(on: Journey) -> None:
    from fieldapp.ui import asks_project as asks

    on.session.ask(lambda place: asks.begin_set(place, "eu-en1536"), lambda _: None, print)
    on.wait()
    _go(on, "acceptance set")


def acceptance_number(on: Journey) -> None:
    acceptance_numbers(on)
    _go(on, "acceptance number", key=NUMBER)


def acceptance_number_refused(on: Journey) -> None:
    from fieldapp.ui.screens.acceptance_said import meaning_of

    acceptance_numbers(on)
    _row(on, meaning_of("area_fraction_min"))
    on.keys(*["back"] * 4, "1", "2", "0")
    _write(on, "source", "contract")
    on.tap(on.middle.next)


def acceptance_edited(on: Journey) -> None:
    acceptance_number(on)
    on.keys(*["back"] * 5, "1")
    _write(on, "source", "contract, section 31")
    on.tap(on.middle.next)


def acceptance_changes(on: Journey) -> None:
    acceptance_edited(on)
    on.tap(on.middle.next)


def acceptance_changes_preset(on: Journey) -> None:
    acceptance_open(on)
    on.tap(on.middle.next)


def acceptance_anew(on: Journey) -> None:
    acceptance_edited(on)
    on.tap(on.middle.second)
    _row(on, "Bored piles, EN 1536 form")


# --- settings -------------------------------------------------------------------------------------------


def settings(on: Journey) -> None:
    _go(on, "settings")


def settings_key_time(on: Journey) -> None:
    settings(on)
    on.tap(on.middle.fields["key_time"])


def settings_units(on: Journey) -> None:
    settings(on)
    on.tap(on.middle.fields["units"])


def settings_server(on: Journey) -> None:
    settings(on)
    on.tap(on.middle.fields["timestamp_server"])
    on.middle.tools.text_field.typing.insert_text("time.example/stamp")
    on.wait()


def settings_server_refused(on: Journey) -> None:
    settings_server(on)
    on.tap(on.middle.next)


OFFICE_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        projects_empty, projects, projects_lost, projects_forget, project_folder, project_folder_open,
        new_project, new_project_half, new_project_refused, setup_new, setup, people, people_keys,
        person_new, person_key_held, person_unlocked, person_revoked, person_roles, person_roles_change,
        key_make, key_ready, key_change, key_revoke, key_revoke_asked, board_lock, acceptance,
        acceptance_numbers, acceptance_open, acceptance_number, acceptance_number_refused,
        acceptance_edited, acceptance_changes, acceptance_changes_preset, acceptance_anew, settings,
        settings_key_time, settings_units, settings_server, settings_server_refused,
    )
}  # fmt: skip
