"""The command line: the same desk as the screens, in plain text or JSON.

Exit codes: 0 done, 1 something asked for is not met, not shown or damaged, 2 the request cannot be
carried out.  A user's mistake gets a sentence, never a traceback.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Final

DONE: Final = 0
NOT_AS_ASKED: Final = 1
REFUSED: Final = 2
_FIRST_YEAR: Final = 1970
_LAST_YEAR: Final = 2200


def run(words: Sequence[str]) -> int:
    """Carry out one command and return the exit code."""
    asked = parser().parse_args(words)
    if asked.command is None:
        parser().print_help()
        return DONE
    from fieldapp.desk.problems import PROBLEMS

    try:
        return _COMMANDS[asked.command](asked)
    except PROBLEMS as problem:
        print(problem, file=sys.stderr)
        return REFUSED
    except (EOFError, KeyboardInterrupt):
        print("Stopped. What was said to be recorded is recorded; nothing else was.", file=sys.stderr)
        return REFUSED
    except BrokenPipeError:
        sys.stdout = None  # whoever read has gone; nothing is left to flush to
        return DONE
    except OSError as problem:
        print(f"{problem.filename or 'A file'}: {problem.strerror}. Nothing was changed.", file=sys.stderr)
        return REFUSED


def parser() -> argparse.ArgumentParser:
    """The words that the command line understands, with their help."""
    top = argparse.ArgumentParser(
        prog="basenote",
        description="The base cleanliness record of drilled shafts and rock sockets: kept, held against an "
        "acceptance set, signed. Contract documents, local codes and licensed engineers decide.",
    )
    commands = top.add_subparsers(dest="command", metavar="command")
    _add_commands_of_a_folder(commands.add_parser)
    demo = commands.add_parser(
        "demo", help="do the whole job once on the sample projects, then open the tablet app"
    )
    demo.add_argument("folder", nargs="?", type=Path, default=Path("basenote-demo"), help="where to put them")
    demo.add_argument("--no-app", action="store_true", help="do not open the tablet app afterwards")
    reckon = commands.add_parser(
        "reckon", help="answer a what-if file, before construction and without a project"
    )
    reckon.add_argument("file", type=Path, help="a TOML file; sample_logs/reckon holds two")
    reckon.add_argument("--json", action="store_true", help="write JSON for another program")
    return top


def _add_commands_of_a_folder(add: Callable[..., argparse.ArgumentParser]) -> None:
    app = add("app", help="open a project in the tablet app")
    logs = add("add", help="add plain log files to a project; a new folder becomes a new project")
    shafts = add("shafts", help="list the shafts with standing, reasons and release")
    one = add("show", help="show the findings of one shaft")
    credit = add("credit", help="say what the base of one shaft is worth, at displacements, with the range")
    forecast = add("forecast", help="say how long the base of one shaft stays as it was sounded")
    report = add("report", help="write the log of one shaft, or of all, as a PDF")
    key = add("key", help="make the signing key of a person on the roster")
    check = add("check", help="audit a project folder: file, chains, pictures, read tables")
    backup = add("backup", help="copy a project folder whole, also while it is in use")
    for each in (app, logs, shafts, one, credit, forecast, report, key, check, backup):
        each.add_argument("project", type=Path, help="the project folder")
    logs.add_argument("files", type=Path, nargs="+", help="plain log files, or folders with .log files")
    key.add_argument("person", help="the person, as the roster names them")
    for each in (one, credit, forecast):
        each.add_argument("shaft", help="the shaft, such as P1-1")
    report.add_argument("shaft", nargs="?", help="the shaft, such as P1-1; all shafts without it")
    for each in (shafts, one, credit, forecast, check):
        each.add_argument("--json", action="store_true", help="write JSON for another program")
    for each in (app, shafts, one, credit, forecast, report):
        each.add_argument(
            "--as-of",
            metavar="TIME",
            help="'last' (each shaft's latest entry) or a time such as 2026-05-12T14:00-06:00; default: now",
        )
    report.add_argument("--sign", metavar="PERSON", help="sign as this person; the passphrase is asked for")
    backup.add_argument("target", type=Path, help="a folder that does not exist yet")


def _demo(asked: argparse.Namespace) -> int:
    from fieldapp.desk.demo import PASSPHRASE, run_demo
    from fieldapp.desk.plain_text import board_table, progress_line

    done = run_demo(asked.folder, progress_line(sys.stderr))
    for each in done:
        print(f"\n{each.name}, as of the latest entry of each shaft\n")
        print(board_table(each.shafts, each.estimates))
        print("\nBase credit: an estimate at base displacements, best (low-high), to be accepted or not.")
        new = sum(paper.new for paper in each.papers)
        print(f"\n{len(each.papers)} signed shaft logs ({new} new) in {each.folder / 'reports'}")
    print(f"\nThe sample keys open with the passphrase: {PASSPHRASE}")
    return _open_app(done[0].folder, "last", wanted=not asked.no_app)


def _open_app(folder: Path, as_of: str | None, *, wanted: bool = True) -> int:
    from fieldapp.ui.display import display_is_there

    if not wanted or not display_is_there():
        print(f"To open the tablet app on a device with a display: basenote app {folder} --as-of last")
        return DONE
    from fieldapp.ui.app import open_app

    open_app(folder, as_of)
    return DONE


def _app(asked: argparse.Namespace) -> int:
    return _open_app(asked.project, asked.as_of)


def _add(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import plain_logs_in
    from fieldapp.desk.plain_text import progress_line
    from fieldapp.desk.typed_logs import begin_with_logs, read_logs

    logs = read_logs(plain_logs_in(asked.files))
    for each in begin_with_logs(asked.project, logs, progress_line(sys.stderr)):
        print(f"{each.file}: {each.new} entries added, {each.known} were in the journal already.")
    return DONE


def _key(asked: argparse.Namespace) -> int:
    from getpass import getpass

    from fieldapp.desk.people import make_key
    from fieldapp.desk.workplace import open_project

    passphrase = getpass(f"New passphrase of {asked.person} (10 characters or more, several words): ")
    if getpass("The same again: ") != passphrase:
        print("The two passphrases differ. No key was made; try again.", file=sys.stderr)
        return REFUSED
    with open_project(asked.project) as place:
        path = make_key(place, asked.person, passphrase)
    print(f"Made {path}. The passphrase cannot be recovered: keep it where only {asked.person} finds it.")
    return DONE


def _shafts(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import all_shafts
    from fieldapp.desk.plain_text import board_table, shaft_json, to_json
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, _until(asked.as_of)) as place:
        found = all_shafts(place, _moment(asked.as_of, place.now))
    print(to_json([shaft_json(each) for each in found]) if asked.json else board_table(found))
    return DONE


def _show(asked: argparse.Namespace) -> int:
    from fieldapp.criteria.finding import Standing
    from fieldapp.desk.office import shaft_now
    from fieldapp.desk.plain_text import findings_text, shaft_json, to_json
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, _until(asked.as_of)) as place:
        found = shaft_now(place, asked.shaft, _moment(asked.as_of, place.now))
    print(to_json(shaft_json(found)) if asked.json else findings_text(found))
    return DONE if found.standing.standing is Standing.CLEAN else NOT_AS_ASKED


def _credit(asked: argparse.Namespace) -> int:
    from fieldapp.desk.load_tests import load_test_lines, load_tests
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.workplace import read_project
    from fieldapp.desk.worth import base_worth
    from fieldapp.desk.worth_text import worth_json, worth_text

    with read_project(asked.project, _until(asked.as_of)) as place:
        worth = base_worth(place, asked.shaft, _moment(asked.as_of, place.now))
        tests = load_test_lines(load_tests(place, worth), place.setup().units)
        text = "\n".join([worth_text(worth, place.setup().units), *tests])
        print(to_json({**worth_json(worth), "load_tests": tests}) if asked.json else text)
    return DONE if worth.credit is not None else NOT_AS_ASKED


def _forecast(asked: argparse.Namespace) -> int:
    from fieldapp.desk.outlook import base_outlook
    from fieldapp.desk.outlook_text import outlook_json, outlook_text
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, _until(asked.as_of)) as place:
        found = base_outlook(place, asked.shaft, _moment(asked.as_of, place.now))
        units = place.setup().units
    print(
        to_json(outlook_json(asked.shaft, found)) if asked.json else outlook_text(asked.shaft, found, units)
    )
    return DONE if found.answer is not None else NOT_AS_ASKED


def _reckon(asked: argparse.Namespace) -> int:
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.reckon import reckon
    from fieldapp.desk.reckon_json import reckon_json
    from fieldapp.desk.reckon_text import reckon_text

    found = reckon(asked.file)
    print(to_json(reckon_json(found)) if asked.json else reckon_text(found))
    return NOT_AS_ASKED if found.missing else DONE


def _report(asked: argparse.Namespace) -> int:
    from getpass import getpass

    from fieldapp.desk.office import shaft_now
    from fieldapp.desk.papers import write_shaft_log
    from fieldapp.desk.people import unlock_key
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, _until(asked.as_of)) as place:
        key = None
        if asked.sign:
            key = unlock_key(place, asked.sign, getpass(f"Passphrase of {asked.sign}: "))
        for name in [asked.shaft] if asked.shaft else list(place.record().shafts):
            at = shaft_now(place, name, _moment(asked.as_of, place.now)).at
            paper = write_shaft_log(place, name, at, asked.sign or "command line", key)
            print(f"{paper.path}{'' if paper.new else ' (was there already)'}")
    return DONE


def _check(asked: argparse.Namespace) -> int:
    from dataclasses import asdict

    from fieldapp.desk.office import audit
    from fieldapp.desk.plain_text import audit_text, to_json

    found = audit(asked.project)
    print(to_json([asdict(each) for each in found]) if asked.json else audit_text(found))
    return DONE if all(each.ok for each in found) else NOT_AS_ASKED


def _backup(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import save_backup

    made = save_backup(asked.project, asked.target)
    print(f"Saved and checked: {made.folder}. Keep it on another disk.")
    return DONE


def _until(text: str | None) -> datetime | None:
    """The moment up to which the record counts: that which the text names, else no end."""
    return None if text is None or text == "last" else _time(text)


def _moment(text: str | None, now: Callable[[], datetime]) -> datetime | None:
    """None for 'last', the present moment when nothing is said, else the time that the text names."""
    if text is None:
        return now()
    return None if text == "last" else _time(text)


def _time(text: str) -> datetime:
    from fieldapp.record.codec import read_time
    from fieldapp.record.reading import Impossible

    moment = read_time(text, "as-of")
    if not _FIRST_YEAR <= moment.year <= _LAST_YEAR:
        raise Impossible("as-of", text, f"a year from {_FIRST_YEAR} to {_LAST_YEAR}")
    return moment


_COMMANDS: Final[dict[str, Callable[[argparse.Namespace], int]]] = {
    "demo": _demo,
    "app": _app,
    "add": _add,
    "key": _key,
    "shafts": _shafts,
    "show": _show,
    "credit": _credit,
    "forecast": _forecast,
    "reckon": _reckon,
    "report": _report,
    "check": _check,
    "backup": _backup,
}
