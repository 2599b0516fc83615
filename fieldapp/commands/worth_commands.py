"""Commands about what the base is worth: credit, forecast, and what-if files without a project."""

from __future__ import annotations

import argparse
from pathlib import Path

from fieldapp.commands.asking import (
    DONE,
    NOT_AS_ASKED,
    Add,
    command,
    may_look_back,
    may_write_json,
    moment,
    of_shaft,
    until,
)


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    credit = command(
        add, "credit", _credit, "say what the base of one shaft is worth, at displacements, with the range"
    )
    forecast = command(
        add, "forecast", _forecast, "say how long the base of one shaft stays as it was sounded"
    )
    reckon = command(
        add, "reckon", _reckon, "answer a what-if file, before construction and without a project"
    )
    for each in (credit, forecast):
        of_shaft(each)
        may_look_back(each)
    reckon.add_argument("file", type=Path, help="a TOML file; sample_logs/reckon holds two")
    for each in (credit, forecast, reckon):
        may_write_json(each)


def _credit(asked: argparse.Namespace) -> int:
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.workplace import read_project
    from fieldapp.desk.worth.load_tests import load_test_lines, load_tests
    from fieldapp.desk.worth.text import worth_json, worth_text
    from fieldapp.desk.worth.worth import base_worth

    with read_project(asked.project, until(asked.as_of)) as place:
        worth = base_worth(place, asked.shaft, moment(asked.as_of, place.now))
        tests = load_test_lines(load_tests(place, worth), place.setup().units)
        text = "\n".join([worth_text(worth, place.setup().units), *tests])
        print(to_json({**worth_json(worth), "load_tests": tests}) if asked.json else text)
    return DONE if worth.credit is not None else NOT_AS_ASKED


def _forecast(asked: argparse.Namespace) -> int:
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.workplace import read_project
    from fieldapp.desk.worth.outlook import base_outlook
    from fieldapp.desk.worth.outlook_text import outlook_json, outlook_text

    with read_project(asked.project, until(asked.as_of)) as place:
        found = base_outlook(place, asked.shaft, moment(asked.as_of, place.now))
        units = place.setup().units
    print(
        to_json(outlook_json(asked.shaft, found)) if asked.json else outlook_text(asked.shaft, found, units)
    )
    return DONE if found.answer is not None else NOT_AS_ASKED


def _reckon(asked: argparse.Namespace) -> int:
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.reckoning.as_json import reckon_json
    from fieldapp.desk.reckoning.reckon import reckon
    from fieldapp.desk.reckoning.text import reckon_text

    found = reckon(asked.file)
    print(to_json(reckon_json(found)) if asked.json else reckon_text(found))
    return NOT_AS_ASKED if found.missing else DONE
