"""What the screens of the office ask of the desk; everything here runs on the worker.

Passphrases pass through and are kept nowhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from fieldapp.ui.asks import By

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.form import EntryForm
    from fieldapp.desk.projects.acceptance_editing import Difference, Draft, PresetShown
    from fieldapp.desk.trust.roster import PersonNow, UnlockedKey
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.acceptance import AcceptanceSet, Parameter
    from fieldapp.record.entry import Entry

SCHEDULED: Final = "shaft scheduled"


@dataclass(frozen=True, slots=True)
class OfficePage:
    """One project as its office sees it."""

    name: str
    units: str
    time_zone: str
    adopted: PresetShown
    in_the_making: bool
    people: int
    without_key: int
    shafts: int


@dataclass(frozen=True, slots=True)
class SetsPage:
    """The sets to choose from and the adopted one; which is in the making, and whether it is edited."""

    adopted: PresetShown
    presets: tuple[PresetShown, ...]
    start: str
    edited: bool


@dataclass(frozen=True, slots=True)
class SetPage:
    """The set in the making beside the adopted one, with what would change."""

    draft: Draft
    adopted: AcceptanceSet
    changes: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class NumberPage:
    """One number to be typed."""

    form: EntryForm
    typed: dict[str, str]
    edited: bool
    known: Parameter | None


def office_page(place: Workplace) -> OfficePage:
    """The project in hand as its office sees it.  Raises Impossible before it is set up."""
    from fieldapp.desk.projects.acceptance_editing import adopted_shown, draft
    from fieldapp.desk.trust.roster import roster

    setup, people = place.setup(), roster(place)
    return OfficePage(
        name=setup.name,
        units=str(setup.units),
        time_zone=setup.time_zone,
        adopted=adopted_shown(place),
        in_the_making=draft(place).accepted != setup.acceptance,
        people=len(people),
        without_key=sum(not each.key.holds for each in people),
        shafts=len(place.record().shafts),
    )


def sets_page(place: Workplace) -> SetsPage:
    """The sets to choose from."""
    from fieldapp.desk.projects.acceptance_editing import adopted_shown, draft, presets_shown

    made = draft(place)
    return SetsPage(adopted_shown(place), presets_shown(), made.start, bool(made.edits))


def set_page(place: Workplace) -> SetPage:
    """The set in the making."""
    from fieldapp.desk.projects.acceptance_editing import differences, draft

    made, adopted = draft(place), place.accepted()
    return SetPage(made, adopted, differences(adopted, made.accepted))


def begin_set(place: Workplace, start: str) -> SetPage:
    """Begin a set anew."""
    from fieldapp.desk.projects.acceptance_editing import begin_draft

    begin_draft(place, start)
    return set_page(place)


def number_page(place: Workplace, key: str) -> NumberPage:
    """One number of the set in the making, as it is typed."""
    from fieldapp.desk.projects.acceptance_editing import draft, keys_of
    from fieldapp.desk.projects.acceptance_numbers import number_form

    made, setup = draft(place), place.setup()
    known = keys_of(made.accepted).get(key, key)
    form, typed = number_form(known, setup.units, tuple(each.name for each in setup.people))
    return NumberPage(
        form, typed, key in {each.key for each in made.edits}, None if isinstance(known, str) else known
    )


def put_number(place: Workplace, key: str, texts: Mapping[str, str]) -> datetime:
    """Put a number into the set in the making, and say since when it is on disk.  Raises Impossible."""
    from fieldapp.desk.projects.acceptance_editing import edit

    edit(place, key, texts)
    return place.now()


def take_number_back(place: Workplace, key: str) -> datetime:
    """Leave a number as the set has it."""
    from fieldapp.desk.projects.acceptance_editing import take_back

    take_back(place, key)
    return place.now()


def adopt_set(place: Workplace, by: By) -> Entry:
    """Adopt the set in the making.  Raises Impossible, Refused, StoreProblem."""
    from fieldapp.desk.projects.acceptance_editing import adopt

    return adopt(place, by.person)


def people_page(place: Workplace) -> tuple[PersonNow, ...]:
    """Everybody on the roster with their keys."""
    from fieldapp.desk.trust.roster import roster

    return roster(place)


def person_page(place: Workplace, name: str) -> PersonNow:
    """One person with the key."""
    from fieldapp.desk.trust.roster import person_now

    return person_now(place, name)


def put_person(place: Workplace, name: str, roles: str, by: By) -> Entry:
    """Put a person on the roster or change the roles, one a line.  Raises Impossible, Refused."""
    from fieldapp.desk.trust.roster import put_person as put
    from fieldapp.record.words import Role

    return put(place, name.strip(), tuple(Role(each) for each in roles.split("\n") if each), by.person)


def revoke_key(place: Workplace, name: str, since: str, why: str, by: By) -> Entry:
    """Revoke a person's key from a moment (ISO time; empty: now).  Raises Impossible, Refused."""
    from fieldapp.desk.trust.revoking import revoke

    moment = datetime.fromisoformat(since) if since else place.now()
    return revoke(place, name, moment, why, by.person)[-1]


def make_key(place: Workplace, name: str, passphrase: str) -> str:
    """Make a person's key; gives what is still to do.  Raises what the desk raises."""
    from fieldapp.desk.trust.people import make_key as make

    return make(place, name, passphrase).still_to_do


def bring_key(place: Workplace, name: str, file: Path, opens: str, kept_under: str) -> str:
    """Use a key file of a person's own; gives what is still to do.  Raises what the desk raises."""
    from fieldapp.desk.trust.people import adopt_key
    from fieldapp.desk.trust.roster import key_file_bytes

    return adopt_key(place, name, key_file_bytes(file), opens, kept_under).still_to_do


def change_passphrase(place: Workplace, name: str, old: str, new: str) -> str:
    """Put a key under another passphrase.  Raises what the desk raises."""
    from fieldapp.desk.trust.unlocking import change_passphrase as change

    change(place, name, old, new)
    return ""


def open_key(place: Workplace, name: str, passphrase: str) -> UnlockedKey:
    """Unlock a person's key.  Raises what the desk raises."""
    from fieldapp.desk.trust.unlocking import unlock_key

    return unlock_key(place, name, passphrase)


def project_units(place: Workplace) -> str:
    """The units that the project shows."""
    return str(place.setup().units)


def change_units(place: Workplace, units: str, by: By) -> Entry:
    """Show the project in other units.  Raises Refused, StoreProblem."""
    from fieldapp.desk.projects.beginning import change_units as change
    from fieldapp.record.words import UnitSystem

    return change(place, UnitSystem(units), by.person)


def weakness(passphrase: str) -> str:
    """Why a passphrase is quickly guessed, as a sentence; empty when it is not."""
    from fieldapp.desk.trust.roster import weakness as weakness_of

    return weakness_of(passphrase)


def keeps_positions(place: Workplace) -> bool:
    """Whether the project asks for the positions of pictures."""
    return place.setup().keep_picture_positions


def change_positions(place: Workplace, keep: bool, by: By) -> Entry:
    """Keep the positions of pictures from now on, or none.  Raises Refused, StoreProblem."""
    from fieldapp.desk.projects.beginning import change_picture_positions as change

    return change(place, keep, by.person)


def name_timestamp_server(address: str) -> str:
    """Name another timestamp server, or none, and give what is kept.  Raises Impossible, StoreProblem."""
    from fieldapp.desk.settings import keep_server

    keep_server(address)
    return timestamp_server()


def timestamp_server() -> str:
    """The timestamp server of this device, empty without one.  Raises Impossible."""
    from fieldapp.desk.settings import read_settings

    return read_settings().timestamp_server
