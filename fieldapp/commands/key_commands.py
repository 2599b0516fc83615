"""Commands about keys: make, bring along, seal anew, revoke; and about the project's authority."""

from __future__ import annotations

import argparse
from pathlib import Path

from fieldapp.commands.asking import (
    DONE,
    Add,
    command,
    moment_from,
    new_passphrase_of,
    of_project,
    passphrase_of,
)


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    _add_key(add("key", help="make, bring along, seal anew or revoke the signing key of a person"))
    _add_authority(add("authority", help="make the project's authority, and let it sign certificates"))


def _add_key(key: argparse.ArgumentParser) -> None:
    does = key.add_subparsers(required=True, metavar="what").add_parser
    make = command(does, "make", _make, "make the signing key of a person on the roster")
    own = command(does, "own", _own, "let a person sign with a PKCS#12 certificate of their own")
    phrase = command(does, "passphrase", _passphrase, "put a person's key under a new passphrase")
    for each in (make, own, phrase):
        of_project(each)
        each.add_argument("person", help="the person, as the roster names them")
    own.add_argument("file", type=Path, help="the PKCS#12 file (.p12 or .pfx)")
    revoked = command(does, "revoke", _revoke, "record that a key is not trusted any more, from a time on")
    of_project(revoked)
    revoked.add_argument("holder", help="a person, a device, or the fingerprint of a certificate")
    revoked.add_argument("--since", metavar="TIME", help="such as 2026-05-12T14:00-06:00; default: now")
    revoked.add_argument("--why", required=True, help="the reason, such as 'tablet lost'")
    _by(revoked)


def _add_authority(authority: argparse.ArgumentParser) -> None:
    does = authority.add_subparsers(required=True, metavar="what").add_parser
    make = command(does, "make", _make_authority, "make the authority's key in a file outside the project")
    endorse = command(does, "endorse", _endorse, "sign the certificate of a person on the roster")
    for each in (make, endorse):
        of_project(each)
    endorse.add_argument("person", help="the person, as the roster names them")
    for each in (make, endorse):
        each.add_argument("file", type=Path, help="the authority's key file, kept in the office")
        _by(each)
    make.add_argument("--instead", action="store_true", help="take the place of the present authority")


def _by(made: argparse.ArgumentParser) -> None:
    who = "who records it, as the roster names them"
    made.add_argument("--as", dest="author", metavar="PERSON", required=True, help=who)


def _make(asked: argparse.Namespace) -> int:
    from fieldapp.desk.trust.people import make_key, room_for_key
    from fieldapp.desk.workplace import open_project

    with open_project(asked.project) as place:
        room_for_key(place, asked.person)
        made = make_key(place, asked.person, new_passphrase_of(asked.person))
    print(
        f"Made {made.path}. The passphrase cannot be recovered: keep it where only {asked.person} finds it."
    )
    _say(made.still_to_do)
    return DONE


def _own(asked: argparse.Namespace) -> int:
    from fieldapp.desk.trust.people import adopt_key, room_for_key
    from fieldapp.desk.workplace import open_project

    p12 = asked.file.read_bytes()
    with open_project(asked.project) as place:
        room_for_key(place, asked.person)
        passphrase = passphrase_of(f"the file {asked.file.name}")
        kept_under = new_passphrase_of(asked.person)
        made = adopt_key(place, asked.person, p12, passphrase, kept_under)
    print(
        f"{asked.person} signs with the certificate {made.certificate.fingerprint} of "
        f"{made.certificate.name} now, kept in {made.path}."
    )
    _say(made.still_to_do)
    return DONE


def _passphrase(asked: argparse.Namespace) -> int:
    from fieldapp.desk.trust.unlocking import change_passphrase, present_key_file
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project) as place:
        present_key_file(place, asked.person)
        old = passphrase_of(asked.person)
        path = change_passphrase(place, asked.person, old, new_passphrase_of(asked.person))
    print(f"{path} opens with the new passphrase only. Copies made before still open with the old one.")
    return DONE


def _revoke(asked: argparse.Namespace) -> int:
    from fieldapp.criteria.phrasing import clock_of_year
    from fieldapp.desk.trust.revoking import revoke
    from fieldapp.desk.workplace import open_project

    with open_project(asked.project) as place:
        since = moment_from(asked.since, "since") if asked.since else place.now()
        made = revoke(place, asked.holder, since, asked.why, asked.author)
    print(
        f"Revoked from {clock_of_year(since)} on: {asked.holder} (certificates: {len(made)}). What was "
        "signed before stays. Make a bundle for the other devices, so that they know it too."
    )
    return DONE


def _make_authority(asked: argparse.Namespace) -> int:
    from fieldapp.desk.trust.authority import make_authority
    from fieldapp.desk.workplace import open_project

    passphrase = new_passphrase_of("the authority")
    with open_project(asked.project) as place:
        path = make_authority(place, asked.file, passphrase, asked.author, instead=asked.instead)
    print(f"Made {path}. Keep it and one copy in the office, off the tablets; it cannot be recovered.")
    return DONE


def _endorse(asked: argparse.Namespace) -> int:
    from fieldapp.criteria.phrasing import clock_in_full
    from fieldapp.desk.trust.authority import endorse
    from fieldapp.desk.workplace import open_project

    passphrase = passphrase_of("the authority")
    with open_project(asked.project) as place:
        made = endorse(place, asked.file, passphrase, asked.person, asked.author)
        until = clock_in_full(made.valid_until, place.now())
    print(
        f"The authority vouches for {made.name} ({', '.join(made.roles)}) until {until}. "
        "The key file takes the certificate in when it is unlocked the next time."
    )
    return DONE


def _say(sentence: str) -> None:
    if sentence:
        print(sentence)
