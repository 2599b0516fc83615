"""Commands that decide: sign the log off, release, hold, withdraw, dispose; each with the author's own key.

What has to be confirmed is printed with the code that confirms it; nothing is recorded before.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldapp.commands.asking import (
    DONE,
    NOT_AS_ASKED,
    REFUSED,
    Add,
    command,
    key_of,
    may_write_json,
    moment_from,
    of_shaft,
)
from fieldapp.record.words import Decision

if TYPE_CHECKING:
    from fieldapp.desk.workplace import Workplace
    from fieldapp.identity.keys import UnlockedKey
    from fieldapp.record.entry import Entry
    from fieldapp.record.reading import Reading

    Decide = Callable[[Workplace, UnlockedKey], Entry]


def add_commands(add: Add) -> None:
    """Add the commands of this module to the parser."""
    signoff = command(add, "signoff", _sign_off, "sign the log of one shaft, and write it on paper")
    release = command(add, "release", _release, "release concrete on one shaft until a time")
    hold = command(add, "hold", _hold, "hold concrete on one shaft")
    withdraw = command(add, "withdraw", _withdraw, "take the last release of one shaft back")
    dispose = command(add, "dispose", _dispose, "decide the credit of one base, or ask for a remedy")
    for each in (signoff, release, hold, withdraw, dispose):
        of_shaft(each)
        who = "who decides; the passphrase is asked"
        each.add_argument("--as", dest="person", metavar="PERSON", required=each is not release, help=who)
    for each in (signoff, release, dispose):
        yes = "answer a question with yes; may be given again"
        each.add_argument("--confirm", metavar="CODE", action="append", default=[], help=yes)
    for each in (hold, withdraw):
        each.add_argument("--reason", required=True, help="why")
    signoff.add_argument("--statement", help="what is signed; default: Recorded as seen.")
    _add_release(release)
    _add_disposition(dispose)


def _add_release(release: argparse.ArgumentParser) -> None:
    release.add_argument("--until", metavar="TIME", help="such as 2026-05-12T15:00-06:00")
    release.add_argument("--conditions", default="", help="under which it holds")
    release.add_argument("--reason", default="", help="why, where something is not met or not shown")
    release.add_argument(
        "--limits", action="store_true", help="say until when it could hold, and record nothing"
    )
    may_write_json(release)


def _add_disposition(dispose: argparse.ArgumentParser) -> None:
    dispose.add_argument("decision", choices=list(map(str, Decision)), help="the decision")
    dispose.add_argument("--why", required=True, help="why")
    dispose.add_argument("--credit", metavar="RATIO", help="a reduced credit, 0 to 1")
    dispose.add_argument("--displacement", metavar="LENGTH", help="the base displacement that it belongs to")


def _sign_off(asked: argparse.Namespace) -> int:
    from fieldapp.desk.decisions.signing_off import STATEMENT, SignOffAsked, sign_off

    said = SignOffAsked(asked.statement or STATEMENT, confirmed=tuple(asked.confirm))

    def sign(place: Workplace, key: UnlockedKey) -> Entry:
        entry, paper = sign_off(place, asked.shaft, said, asked.person, key)
        print(paper.path)
        return entry

    return _decided(asked, sign)


def _release(asked: argparse.Namespace) -> int:
    from fieldapp.desk.decisions.engineer import ReleaseAsked, release

    if asked.limits:
        return _limits(asked)
    if asked.person is None or asked.until is None:
        print(
            "A release takes --as PERSON and --until TIME. To see until when it could hold: --limits. "
            "Nothing was recorded.",
            file=sys.stderr,
        )
        return REFUSED
    until = moment_from(asked.until, "until")
    said = ReleaseAsked(until, asked.conditions, asked.reason, tuple(asked.confirm))
    return _decided(asked, lambda place, key: release(place, asked.shaft, said, asked.person, key))


def _limits(asked: argparse.Namespace) -> int:
    from fieldapp.criteria.phrasing import clock
    from fieldapp.desk.decisions.engineer import release_until
    from fieldapp.desk.plain_text import limits_json, limits_text, to_json
    from fieldapp.desk.workplace import read_project

    with read_project(asked.project) as place:
        started = place.shaft(asked.shaft).concrete_started_at
        bounds = release_until(place, asked.shaft)
    if started is not None:
        print(f"Concrete started at {clock(started)}; there is nothing left to release.", file=sys.stderr)
        return REFUSED
    print(to_json(limits_json(bounds)) if asked.json else limits_text(bounds))
    return DONE


def _hold(asked: argparse.Namespace) -> int:
    from fieldapp.desk.decisions.engineer import hold

    return _decided(asked, lambda place, key: hold(place, asked.shaft, asked.reason, asked.person, key))


def _withdraw(asked: argparse.Namespace) -> int:
    from fieldapp.desk.decisions.engineer import withdraw

    return _decided(asked, lambda place, key: withdraw(place, asked.shaft, asked.reason, asked.person, key))


def _dispose(asked: argparse.Namespace) -> int:
    from fieldapp.desk.decisions.designer import DispositionAsked, dispose

    credit, moved = _typed("credit", asked.credit), _typed("displacement", asked.displacement)
    if asked.decision == Decision.REDUCED_CREDIT and (credit is None or moved is None):
        print(
            "A reduced credit takes --credit RATIO and --displacement LENGTH, the base displacement that it "
            "belongs to. Nothing was recorded.",
            file=sys.stderr,
        )
        return REFUSED
    said = DispositionAsked(Decision(asked.decision), asked.why, credit, moved, tuple(asked.confirm))
    return _decided(asked, lambda place, key: dispose(place, asked.shaft, said, asked.person, key))


def _typed(name: str, text: str | None) -> Reading | None:
    """A number of a disposition as typed, within what is possible.  Raises Impossible."""
    from dataclasses import fields

    from fieldapp.exchange.plain_values import read_reading
    from fieldapp.record.decisions import Disposition

    possible = next(each.metadata["possible"] for each in fields(Disposition) if each.name == name)
    return None if text is None else read_reading(name, text, possible)


def _decided(asked: argparse.Namespace, decide: Decide) -> int:
    """Carry a decision out with the author's key; 1 with the questions where something is to be confirmed."""
    from fieldapp.desk.inspector import AskFirst
    from fieldapp.desk.office import shaft_now
    from fieldapp.desk.plain_text import questions_text, release_text
    from fieldapp.desk.workplace import open_project

    with open_project(asked.project) as place:
        place.shaft(asked.shaft)  # a wrong name is told before anybody types a passphrase
        key = key_of(place, asked.person)
        try:
            entry = decide(place, key)
        except AskFirst as question:
            print(questions_text(question.found))
            return NOT_AS_ASKED
        stands = release_text(shaft_now(place, asked.shaft, place.now())).splitlines()
    print(f"Recorded and signed: {entry.kind} of shaft {entry.shaft}, entry {entry.seq} of {entry.device}.")
    print(f"Concrete on {entry.shaft}: {'; '.join(each.rstrip('.') for each in stands)}.")
    return DONE
