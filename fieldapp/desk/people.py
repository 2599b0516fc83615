"""People's keys: made on this device, kept under a passphrase, pinned in the project's roster.

The key file holds everything secret and stays in the project's ``keys`` folder; the journal learns the
certificate alone.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Final

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.keys import UnlockedKey, make_person_key, unlock
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.reading import Impossible
from fieldapp.store.atomic_file import save_bytes

GOOD_FOR: Final = timedelta(days=3 * 365)


def key_file(place: Workplace, name: str) -> Path:
    """Where the key of a person is kept on this device."""
    return place.folder / "keys" / f"{file_name_of(name)}.p12"


def make_key(place: Workplace, name: str, passphrase: str) -> Path:
    """Make a person's key, pin its certificate in the roster by a new set-up entry, return the key file.

    Raises Impossible for a person who is not on the roster or who has a key here already, WeakPassphrase
    for one that is quickly guessed.
    """
    setup = place.setup()
    person = setup.person(name)
    if person is None:
        raise Impossible("person", name, f"one of {', '.join(each.name for each in setup.people)}")
    path = key_file(place, name)
    if path.exists():
        raise Impossible("key", path.name, "no key yet; the present one stays as it is")
    now = place.now()
    p12 = make_person_key(
        CertifiedPerson(person.name, person.roles, setup.name), Term(now, now + GOOD_FOR), passphrase
    )
    save_bytes(path, p12)
    pem = to_pem(unlock(p12, passphrase).x509_certificate)
    people = tuple(replace(each, certificate=pem) if each.name == name else each for each in setup.people)
    record_entry(place, Saying(None, replace(setup, people=people), name))
    return path


def unlock_key(place: Workplace, name: str, passphrase: str) -> UnlockedKey:
    """Open a person's key.  Raises WrongPassphrase, or Impossible when there is no key here."""
    path = key_file(place, name)
    if not path.exists():
        raise Impossible("key", f"no key of {name} in {path.parent.name}", "a key made on this device first")
    return unlock(path.read_bytes(), passphrase)
