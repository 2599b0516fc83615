"""Commands about what travels: bundles between devices, tables for anyone."""

from __future__ import annotations

import argparse
from pathlib import Path

from fieldapp.commands.asking import (
    DONE,
    Add,
    command,
    key_of,
    may_look_back,
    moment,
    of_project,
    until,
)


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    bundle = add("bundle", help="carry a project to another device and back, by any means, as one file")
    does = bundle.add_subparsers(required=True, metavar="what").add_parser
    out = command(does, "out", _out, "make a bundle of the project as it is now")
    of_project(out)
    out.add_argument("file", type=Path, help="the new file, or a folder for it")
    out.add_argument(
        "--shaft",
        metavar="SHAFT",
        action="append",
        help="carry pictures and papers of this shaft only (again for more); the chains are always whole",
    )
    out.add_argument("--as", dest="author", metavar="PERSON", required=True, help="who sends it")
    out.add_argument("--sign", action="store_true", help="sign it with your key too; the passphrase is asked")
    into = command(does, "in", _in, "take a bundle over, whole or not at all; a new folder becomes a project")
    of_project(into)
    into.add_argument("file", type=Path, help="the bundle")
    into.add_argument(
        "--own-came-back",
        action="store_true",
        help="take over entries of this very device that are lost here; it records under a new name then",
    )
    tables = command(add, "tables", _tables, "write every entry kind, findings and credits as tables")
    of_project(tables)
    tables.add_argument("folder", type=Path, help="a folder that does not exist yet")
    tables.add_argument(
        "--xlsx", action="store_true", help="write one workbook of all tables too (needs the extra 'xlsx')"
    )
    may_look_back(tables)


def _out(asked: argparse.Namespace) -> int:
    from fieldapp.desk.travel.sending import Asked, bundle_name, make_bundle
    from fieldapp.desk.workplace import open_project

    with open_project(asked.project) as place:
        key = key_of(place, asked.author) if asked.sign else None
        path = asked.file / bundle_name(place.project_id, place.now()) if asked.file.is_dir() else asked.file
        shafts = tuple(dict.fromkeys(asked.shaft)) if asked.shaft else None
        made = make_bundle(place, path, Asked(asked.author, shafts, key))
    print(f"{made.path}: {made.entries} entries, {made.files} files, {made.size:,} bytes.")
    for each in made.left_out:
        print(f"Not in it: {each.name}. {each.why}")
    return DONE


def _in(asked: argparse.Namespace) -> int:
    from fieldapp.desk.travel.arriving import Meant, NewFolder, begin_from_bundle, take_bundle
    from fieldapp.desk.travel.told import told_of
    from fieldapp.desk.workplace import open_project

    meant = Meant(own_came_back=asked.own_came_back)
    if asked.project.is_dir() and any(asked.project.iterdir()):
        with open_project(asked.project) as place:
            arrived = take_bundle(place, asked.file, meant=meant)
    else:
        arrived = begin_from_bundle(NewFolder(asked.project), asked.file, meant=meant)
    print("\n".join(told_of(arrived)))
    for each in arrived.changed:
        print(f"{each.shaft}: {' '.join(each.says)}")
    return DONE


def _tables(asked: argparse.Namespace) -> int:
    from fieldapp.desk.travel.tables import write_tables
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project, until(asked.as_of)) as place:
        at = moment(asked.as_of, place.now)
        made = write_tables(place, asked.folder, at, workbook=asked.xlsx)
    print(f"{made.folder}: {made.filled} tables with {made.rows} rows, explained in datapackage.json.")
    return DONE
