"""Commands about paper: write the log of a shaft, signed or not."""

from __future__ import annotations

import argparse

from fieldapp.commands.asking import (
    DONE,
    Add,
    command,
    may_look_back,
    moment,
    of_project,
    passphrase_of,
    until,
)


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    report = command(add, "report", _report, "write the log of one shaft, or of all, as a PDF")
    of_project(report)
    report.add_argument("shaft", nargs="?", help="the shaft, such as P1-1; all shafts without it")
    may_look_back(report)
    report.add_argument("--sign", metavar="PERSON", help="sign as this person; the passphrase is asked for")


def _report(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import shaft_now
    from fieldapp.desk.papers import write_shaft_log
    from fieldapp.desk.people import unlock_key
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, until(asked.as_of)) as place:
        key = None
        if asked.sign:
            key = unlock_key(place, asked.sign, passphrase_of(asked.sign))
        for name in [asked.shaft] if asked.shaft else list(place.record().shafts):
            at = shaft_now(place, name, moment(asked.as_of, place.now)).at
            paper = write_shaft_log(place, name, at, asked.sign or "command line", key)
            print(f"{paper.path}{'' if paper.new else ' (was there already)'}")
    return DONE
