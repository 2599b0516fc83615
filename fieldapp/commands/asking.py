"""What the commands share: exit codes, the arguments for project, shaft and moment, and typed passphrases."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fieldapp.desk.workplace import Workplace
    from fieldapp.identity.keys import UnlockedKey

DONE: Final = 0
NOT_AS_ASKED: Final = 1
REFUSED: Final = 2
_A_TIME: Final = "2026-05-12T14:00-06:00"

_FILE_PROBLEMS: Final[tuple[tuple[type[OSError], str], ...]] = (
    (FileNotFoundError, "is not there; look at its name and at the folder."),
    (IsADirectoryError, "is a folder, and a file is asked for."),
    (NotADirectoryError, "is a file, or lies under one, and a folder is asked for."),
    (PermissionError, "may not be read or written by you; look at the rights of the file and of its folder."),
)

Add = Callable[..., argparse.ArgumentParser]
Act = Callable[[argparse.Namespace], int]


def command(add: Add, name: str, act: Act, tells: str) -> argparse.ArgumentParser:
    """A new command; ``tells`` is its line in the help."""
    made = add(name, help=tells)
    made.set_defaults(act=act)
    return made


def of_project(made: argparse.ArgumentParser) -> None:
    """The command works on a project folder."""
    made.add_argument("project", type=Path, help="the project folder")


def of_shaft(made: argparse.ArgumentParser) -> None:
    """The command works on one shaft of a project."""
    of_project(made)
    made.add_argument("shaft", help="the shaft, such as P1-1")


def may_write_json(made: argparse.ArgumentParser) -> None:
    """The command can answer another program."""
    made.add_argument("--json", action="store_true", help="write JSON for another program")


def may_look_back(made: argparse.ArgumentParser) -> None:
    """The command can look at the record as it was."""
    made.add_argument(
        "--as-of",
        metavar="TIME",
        help="'last' (each shaft's latest entry) or a time such as 2026-05-12T14:00-06:00; default: now",
    )


def until(text: str | None) -> datetime | None:
    """The moment up to which the record counts: that which the text names, else no end."""
    return None if text is None or text == "last" else moment_from(text, "as-of")


def moment(text: str | None, now: Callable[[], datetime]) -> datetime | None:
    """None for 'last', the present moment when nothing is said, else the time that the text names.

    Raises Impossible.
    """
    if text is None:
        return now()
    return None if text == "last" else moment_from(text, "as-of")


def moment_from(text: str, name: str) -> datetime:
    """A time with its offset.  Raises Impossible, naming the argument, with an example."""
    from fieldapp.record.codec import FIRST_YEAR, LAST_YEAR, read_time
    from fieldapp.record.reading import Impossible

    try:
        return read_time(text, name)
    except Impossible as problem:
        like = f"a time with its offset from UTC, such as {_A_TIME}, in the years {FIRST_YEAR} to {LAST_YEAR}"
        raise Impossible(name, text, like) from problem


def told_of_file(problem: OSError) -> str:
    """What is wrong with a file that cannot be used, where to look, and that nothing was changed."""
    name = problem.filename or "A file"
    for kind, says in _FILE_PROBLEMS:
        if isinstance(problem, kind):
            return f"{name} {says} Nothing was changed."
    return f"{name}: {problem.strerror}. Nothing was changed."


def passphrase_of(person: str) -> str:
    """The passphrase, typed unseen."""
    from getpass import getpass

    return getpass(f"Passphrase of {person}: ")


def key_of(place: Workplace, person: str) -> UnlockedKey:
    """The key of a person, whose passphrase is asked only where there is a key to open.

    Raises IdentityProblem, Impossible.
    """
    from fieldapp.desk.trust.unlocking import key_file, unlock_key
    from fieldapp.identity.errors import IdentityProblem

    people = place.setup().people
    if all(each.name != person for each in people):
        names = ", ".join(each.name for each in people)
        raise IdentityProblem(f"{person} is not on the project's roster ({names}). Nothing was signed.")
    if not key_file(place, person).exists():
        raise IdentityProblem(
            f"There is no key of {person} on this device. Nothing was signed; make one: "
            f"basenote key make {place.folder} '{person}'."
        )
    return unlock_key(place, person, passphrase_of(person))


def new_passphrase_of(person: str) -> str:
    """A new passphrase, typed twice unseen.  Raises Impossible when the two differ."""
    from getpass import getpass

    from fieldapp.record.reading import Impossible

    typed = getpass(f"New passphrase of {person} (10 characters or more, several words): ")
    if getpass("The same again: ") != typed:
        raise Impossible("passphrase", "two that differ", "the same passphrase twice; nothing was changed")
    return typed
