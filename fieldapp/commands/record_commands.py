"""Commands about the record: begin with the samples, open, add, list, show, check, copy."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from fieldapp.commands.asking import (
    DONE,
    NOT_AS_ASKED,
    REFUSED,
    Add,
    command,
    may_look_back,
    may_write_json,
    moment,
    of_project,
    of_shaft,
    until,
)


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    demo = command(
        add, "demo", _demo, "do the whole job once on the sample projects, then open the tablet app"
    )
    demo.add_argument("folder", nargs="?", type=Path, default=Path("basenote-demo"), help="where to put them")
    demo.add_argument("--no-app", action="store_true", help="do not open the tablet app afterwards")
    app = command(add, "app", _app, "open the tablet app, on a project or on those that this device knows")
    app.add_argument("project", nargs="?", type=Path, help="the project folder")
    logs = command(add, "add", _add, "add plain log files to a project; a new folder becomes a new project")
    shafts = command(add, "shafts", _shafts, "list the shafts with standing, reasons and release")
    one = command(add, "show", _show, "show the findings of one shaft")
    check = command(add, "check", _check, "audit a project folder: file, chains, pictures, read tables")
    backup = command(add, "backup", _backup, "copy a project folder whole, also while it is in use")
    save = command(
        add, "recover", _recover, "make a new project of everything in a damaged one that proves itself"
    )
    for each in (logs, shafts, check, backup, save):
        of_project(each)
    of_shaft(one)
    for each in (app, shafts, one):
        may_look_back(each)
    for each in (shafts, one, check):
        may_write_json(each)
    logs.add_argument(
        "files",
        type=Path,
        nargs="+",
        help="plain log files, or folders with .log files; or one journal file (.jsonl)",
    )
    backup.add_argument("target", type=Path, help="a folder that does not exist yet")
    save.add_argument("new", type=Path, help="the new project: a folder that does not exist yet")
    save.add_argument(
        "--as",
        dest="author",
        metavar="PERSON",
        default="",
        help="who recovers, if entries are lost",
    )
    save.add_argument(
        "--also",
        metavar="PATH",
        type=Path,
        action="append",
        default=[],
        help="a backup, bundle or journal file (.jsonl) of the project to fill gaps from; again for more",
    )


def _demo(asked: argparse.Namespace) -> int:
    from fieldapp.desk.demo import PASSPHRASE, run_demo
    from fieldapp.desk.plain_text import board_table, progress_line

    with progress_line(sys.stderr) as progress:
        done = run_demo(asked.folder, progress)
    for each in done:
        print(f"\n{each.name}, as of the latest entry of each shaft\n")
        print(board_table(each.shafts, each.estimates))
        print("\nBase credit: an estimate at base displacements, best (low-high), to be accepted or not.")
        new = sum(paper.new for paper in each.papers)
        print(f"\n{len(each.papers)} signed shaft logs ({new} new) in {each.folder / 'reports'}")
    print(f"\nThe sample keys open with the passphrase: {PASSPHRASE}")
    return _open_app(done[0].folder, "last", wanted=not asked.no_app)


def _open_app(folder: Path | None, as_of: str | None, *, wanted: bool = True) -> int:
    from fieldapp.ui.display import display_is_there

    if not wanted or not display_is_there():
        named = f" {folder} --as-of last" if folder else ""
        print(f"To open the tablet app on a device with a display: basenote app{named}")
        return DONE
    from fieldapp.ui.app import open_app

    open_app(folder, as_of)
    return DONE


def _app(asked: argparse.Namespace) -> int:
    return _open_app(asked.project, asked.as_of)


def _add(asked: argparse.Namespace) -> int:
    if any(each.suffix == ".jsonl" for each in asked.files):
        return _add_journal(asked)
    from fieldapp.desk.office import plain_logs_in
    from fieldapp.desk.plain_text import progress_line
    from fieldapp.desk.typed_logs import begin_with_logs, read_logs
    from fieldapp.exchange.plain_setup import PlainSetup
    from fieldapp.store.opening import JOURNAL

    logs = read_logs(plain_logs_in(asked.files))
    is_new = not (asked.project / JOURNAL).exists()
    if is_new and not any(isinstance(each.says, PlainSetup) for every in logs for each in every.log.entries):
        print(
            f"{asked.project} is not a project yet, and no file here holds a project set-up. Nothing was "
            "recorded. Look at the name of the folder; a new project begins with its project.log.",
            file=sys.stderr,
        )
        return REFUSED
    with progress_line(sys.stderr) as progress:
        added = begin_with_logs(asked.project, logs, progress)
    if is_new:
        print(f"{asked.project} is a new project.")
    for each in added:
        print(f"{each.file}: {each.new} entries added, {each.known} were in the journal already.")
    return DONE


def _add_journal(asked: argparse.Namespace) -> int:
    from fieldapp.desk.travel.tables import begin_with_journal_file
    from fieldapp.record.reading import Impossible

    if len(asked.files) > 1:
        raise Impossible("files", f"{len(asked.files)} files", "a journal file alone")
    made = begin_with_journal_file(asked.project, asked.files[0])
    print(f"{asked.files[0].name}: {made.new} entries added, {made.known} were in the journal already.")
    return DONE


def _shafts(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import all_shafts
    from fieldapp.desk.own_clock import present
    from fieldapp.desk.plain_text import board_table, shaft_json, to_json
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, until(asked.as_of)) as place:
        found = all_shafts(place, moment(asked.as_of, lambda: present(place)))
    print(to_json([shaft_json(each) for each in found]) if asked.json else board_table(found))
    return DONE


def _show(asked: argparse.Namespace) -> int:
    from fieldapp.criteria.finding import Standing
    from fieldapp.desk.office import shaft_now
    from fieldapp.desk.own_clock import present
    from fieldapp.desk.plain_text import findings_text, shaft_json, to_json
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, until(asked.as_of)) as place:
        found = shaft_now(place, asked.shaft, moment(asked.as_of, lambda: present(place)))
    print(to_json(shaft_json(found)) if asked.json else findings_text(found))
    return DONE if found.standing.standing is Standing.CLEAN else NOT_AS_ASKED


def _check(asked: argparse.Namespace) -> int:
    from dataclasses import asdict

    from fieldapp.desk.plain_text import audit_text, to_json
    from fieldapp.desk.trust.audit import audit

    found = audit(asked.project)
    if all(each.ok for each in found):
        print(to_json([asdict(each) for each in found]) if asked.json else audit_text(found))
        return DONE
    from fieldapp.desk.recovery.telling import left_findings, left_text

    left = left_findings(asked.project)
    if asked.json:
        print(to_json([asdict(each) for each in (*found, *left)]))
    else:
        print(f"{audit_text(found)}\n\n{left_text(left)}")
    return NOT_AS_ASKED


def _backup(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import save_backup

    made = save_backup(asked.project, asked.target)
    print(f"Saved and checked: {made.folder}. Keep it on another disk.")
    return DONE


def _recover(asked: argparse.Namespace) -> int:
    from fieldapp.desk.recovery.recover import recover
    from fieldapp.desk.recovery.telling import affected, recovered_text

    made = recover(asked.project, asked.new, asked.author, tuple(asked.also))
    print(recovered_text(made))
    return NOT_AS_ASKED if affected(made.found) else DONE
