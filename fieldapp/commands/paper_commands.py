"""Commands about paper: write one of a shaft or the summary of all, sign it, sign it further, verify one."""

from __future__ import annotations

import argparse
import sys
from contextlib import AbstractContextManager, nullcontext
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from fieldapp.commands.asking import (
    DONE,
    NOT_AS_ASKED,
    REFUSED,
    Add,
    command,
    key_of,
    may_look_back,
    may_write_json,
    moment,
    of_project,
    told_of_file,
    until,
)
from fieldapp.record.words import Role

if TYPE_CHECKING:
    from datetime import datetime

    from fieldapp.desk.papers.paper import Paper, Pen
    from fieldapp.desk.workplace import Workplace
    from fieldapp.identity.verification import Verdict


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    report = command(add, "report", _report, "write a paper of one shaft, or of all, as a PDF")
    of_project(report)
    report.add_argument("shaft", nargs="?", help="the shaft, such as P1-1; all shafts without it")
    may_look_back(report)
    report.add_argument(
        "--paper",
        choices=("log", "release", "base"),
        default="log",
        help="the shaft log (default), the release sheet, or the base condition report",
    )
    report.add_argument(
        "--sign",
        metavar="PERSON",
        help="certify as this person (the log as inspector, the release sheet as resident engineer, the base "
        "condition report as designer); the passphrase is asked",
    )
    summary = command(add, "summary", _summary, "write the summary of all shafts of the project as a PDF")
    of_project(summary)
    may_look_back(summary)
    summary.add_argument(
        "--sign", metavar="PERSON", help="certify as this person, a designer; the passphrase is asked"
    )
    sign = command(add, "sign", _sign, "sign a paper further: the resident engineer, then the designer")
    of_project(sign)
    sign.add_argument("file", type=Path, help="the signed PDF; the new one is written beside it")
    sign.add_argument(
        "--as", dest="person", metavar="PERSON", required=True, help="who signs; the passphrase is asked"
    )
    sign.add_argument(
        "--role", choices=list(map(str, Role)), help="the role; default: the one whose turn it is"
    )
    sign.add_argument(
        "--confirm", metavar="CODE", action="append", default=[], help="answer a question with yes"
    )
    verify = command(add, "verify", _verify, "verify signed PDFs and bundles, with the project or alone")
    verify.add_argument(
        "files", type=Path, nargs="+", metavar="FILE", help="a PDF or a bundle; again for more"
    )
    verify.add_argument(
        "--project", type=Path, metavar="FOLDER", help="the project that vouches for the signers"
    )
    may_write_json(verify)


def _report(asked: argparse.Namespace) -> int:
    from fieldapp.desk.office import shaft_now
    from fieldapp.desk.papers.forms import FORMS, SHORT
    from fieldapp.desk.papers.writing import Wanted, write_paper

    form = FORMS[SHORT[asked.paper]]
    with _opened(asked) as opened:
        pen = _pen(opened, asked.sign, form.first_role) if asked.sign else None
        place = _looking_back(opened, asked)
        for name in [asked.shaft] if asked.shaft else list(place.record().shafts):
            at = shaft_now(place, name, moment(asked.as_of, place.now)).at
            wanted = Wanted(form, name, at, asked.sign or "command line")
            _tell(write_paper(place, wanted, pen))
    return DONE


def _summary(asked: argparse.Namespace) -> int:
    from fieldapp.desk.papers.summary import latest_moment, write_summary

    with _opened(asked) as opened:
        pen = _pen(opened, asked.sign, Role.DESIGNER) if asked.sign else None
        place = _looking_back(opened, asked)
        at = moment(asked.as_of, place.now) or latest_moment(place)
        _tell(write_summary(place, at, asked.sign or "command line", pen=pen))
    return DONE


def _opened(asked: argparse.Namespace) -> AbstractContextManager[Workplace]:
    """The project for work when something is to be signed, else for looking only."""
    from fieldapp.desk.workplace import open_project, read_project

    return open_project(asked.project) if asked.sign else read_project(asked.project, until(asked.as_of))


def _looking_back(opened: Workplace, asked: argparse.Namespace) -> Workplace:
    """The project as it was recorded up to the moment asked for, also where it is open for work."""
    return replace(opened, until=until(asked.as_of)) if asked.sign else opened


def _sign(asked: argparse.Namespace) -> int:
    from fieldapp.desk.inspector import AskFirst
    from fieldapp.desk.papers.signing import countersign, next_role
    from fieldapp.desk.plain_text import questions_text
    from fieldapp.desk.workplace import open_project

    with open_project(asked.project) as place:
        wanted = Role(asked.role) if asked.role else next_role(place, asked.file)
        if not asked.role and (wrong := _not_their_turn(place, asked.person, wanted)):
            print(wrong, file=sys.stderr)
            return REFUSED
        pen = _pen(place, asked.person, wanted or Role.DESIGNER)
        try:
            _tell(countersign(place, asked.file, pen, tuple(asked.confirm)))
        except AskFirst as question:
            print(questions_text(question.found))
            return NOT_AS_ASKED
    return DONE


def _not_their_turn(place: Workplace, name: str, role: Role | None) -> str:
    """Why somebody on the roster does not sign next; told before a passphrase is typed.  Else nothing."""
    person = place.setup().person(name)
    if person is None or role is None or role in person.roles:
        return ""
    return (
        f"The next signature on this paper is that of a {role}, and {name} is {', '.join(person.roles)} on "
        "the project's roster. Nothing was signed."
    )


def _pen(place: Workplace, person: str, role: Role) -> Pen:
    from fieldapp.desk.papers.paper import Pen

    return Pen(key_of(place, person), role)


def _tell(paper: Paper) -> None:
    print(f"{paper.path}{'' if paper.new else ' (was there already)'}")
    if paper.note:
        print(paper.note)


def _verify(asked: argparse.Namespace) -> int:
    """Verify each file; among several, each stands under its name and one that cannot be read stops no other.

    The exit code is that of the worst.
    """
    from fieldapp.desk.clock import SystemClock
    from fieldapp.desk.plain_text import to_json
    from fieldapp.desk.problems import PROBLEMS
    from fieldapp.desk.workplace import read_project
    from fieldapp.identity.verification import Verdict

    several = len(asked.files) > 1
    told: list[dict[str, object]] = []
    code = DONE
    with read_project(asked.project) if asked.project else nullcontext() as place:
        at = place.now() if place else SystemClock().now("UTC")
        for path in asked.files:
            try:
                verdict, text, data = _verified(path, place, at)
            except (*PROBLEMS, OSError) as problem:
                if not several:
                    raise
                text = told_of_file(problem) if isinstance(problem, OSError) else str(problem)
                data = {"verdict": None, "says": text}
                code = REFUSED
            else:
                code = max(code, DONE if verdict is Verdict.VALID else NOT_AS_ASKED)
            told.append({"path": str(path), **data} if several else data)
            if not asked.json:
                print(f"{path}\n{text}\n" if several else text)
    if asked.json:
        print(to_json(told if several else told[0]))
    return code


def _verified(path: Path, place: Workplace | None, at: datetime) -> tuple[Verdict, str, dict[str, object]]:
    from fieldapp.desk.papers.verifying import PDF_OR_BUNDLE, read_paper
    from fieldapp.desk.travel.verifying import is_bundle

    if is_bundle(path):
        return _bundle(path, place, at)
    return _paper(read_paper(path, PDF_OR_BUNDLE), place, at)


def _paper(pdf: bytes, place: Workplace | None, at: datetime) -> tuple[Verdict, str, dict[str, object]]:
    from fieldapp.desk.papers.verify_text import verdict_json, verdict_text
    from fieldapp.desk.papers.verifying import verify_file

    found = verify_file(pdf, place, at)
    return found.verdict, verdict_text(found), verdict_json(found)


def _bundle(path: Path, place: Workplace | None, at: datetime) -> tuple[Verdict, str, dict[str, object]]:
    from fieldapp.desk.travel.bundle_text import bundle_json, bundle_text
    from fieldapp.desk.travel.verifying import verify_bundle

    found = verify_bundle(path, place, at)
    return found.verdict, bundle_text(found), bundle_json(found)
