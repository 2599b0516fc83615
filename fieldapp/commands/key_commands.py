"""Commands about keys: make the key of a person on the roster."""

from __future__ import annotations

import argparse

from fieldapp.commands.asking import DONE, Add, command, new_passphrase_of, of_project


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    key = command(add, "key", _key, "make the signing key of a person on the roster")
    of_project(key)
    key.add_argument("person", help="the person, as the roster names them")


def _key(asked: argparse.Namespace) -> int:
    from fieldapp.desk.people import make_key
    from fieldapp.desk.workplace import open_project

    passphrase = new_passphrase_of(asked.person)
    with open_project(asked.project) as place:
        path = make_key(place, asked.person, passphrase)
    print(f"Made {path}. The passphrase cannot be recovered: keep it where only {asked.person} finds it.")
    return DONE
