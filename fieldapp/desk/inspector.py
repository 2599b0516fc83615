"""What the inspector asks of the desk: record an entry, amend one, strike one, keep a half-typed form.

An entry is on disk before any of these returns.  What the record says is impossible is refused; what is
unlikely is handed back as a question, and recorded with its answer when the inspector confirms it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from fieldapp.desk.own_clock import clock_question
from fieldapp.desk.workplace import Workplace
from fieldapp.record.decisions import DECISIONS, Amend, Strike
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.questions import Objection
from fieldapp.record.said_lists import sentences
from fieldapp.store.forms import Form


class Refused(Exception):
    """The record rules the entry out; nothing was written."""

    def __init__(self, found: tuple[Objection, ...]) -> None:
        self.found = found
        super().__init__(sentences(each.says for each in found))


class AskFirst(Exception):
    """The entry is possible but unlikely; nothing was written until it is confirmed."""

    def __init__(self, found: tuple[Objection, ...]) -> None:
        self.found = found
        super().__init__(sentences(each.says for each in found))

    @property
    def codes(self) -> tuple[str, ...]:
        """Codes of the questions, to be given back as ``confirmed``."""
        return tuple(dict.fromkeys(each.code for each in self.found))


@dataclass(frozen=True, slots=True)
class Saying:
    """What somebody wants recorded: about which shaft, who says so, when it was observed (None: now).

    ``form`` is the key of the half-typed form that it ends: forgotten with the same COMMIT, so that neither
    an end of the app nor a full disk leaves a form of what is recorded already.
    """

    shaft: str | None
    values: Values
    author: str
    observed_at: datetime | None = None
    confirmed: tuple[str, ...] = ()
    parents: tuple[str, ...] = ()
    form: str = ""


def record_entry(place: Workplace, saying: Saying) -> Entry:
    """Record one entry durably and return it.

    Raises Refused for an impossible entry, AskFirst for an unlikely one that is not confirmed, and
    StoreProblem when it cannot be written; in each case nothing was written.  A decision has a function of
    its own, which asks for the key (`fieldapp.desk.decisions.deciding`); here it is a ValueError.
    """
    if isinstance(saying.values, DECISIONS):
        raise ValueError(f"a {saying.values.KIND} is decided and signed, not recorded")
    now = place.now()
    draft = Draft(
        id=place.clock.new_id(),
        project=place.project_id,
        shaft=saying.shaft,
        values=saying.values,
        observed_at=saying.observed_at or now,
        recorded_at=now,
        author=saying.author,
        parents=saying.parents,
        confirmed=saying.confirmed,
    )
    refuse_or_ask((*objections(place.record(), draft), *clock_question(place, draft)), saying.confirmed)
    (entry,) = place.append([draft], form=saying.form)
    return entry


def refuse_or_ask(found: tuple[Objection, ...], confirmed: tuple[str, ...]) -> None:
    """Raise Refused for what is impossible, AskFirst for what is unlikely and not confirmed."""
    impossible = tuple(each for each in found if each.impossible)
    if impossible:
        raise Refused(impossible)
    questions = tuple(each for each in found if each.code not in confirmed)
    if questions:
        raise AskFirst(questions)


def amend(place: Workplace, line: Line[Values], says: Values, why: str, author: str) -> Entry:
    """Record what an entry should say, following every version of it that is known here."""
    change = Amend(target=line.id, says=says, why=why)
    return record_entry(place, Saying(line.original.shaft, change, author, parents=heads_of_line(line)))


def strike(place: Workplace, line: Line[Values], why: str, author: str) -> Entry:
    """Record that an entry should not count."""
    change = Strike(target=line.id, why=why)
    return record_entry(place, Saying(line.original.shaft, change, author, parents=heads_of_line(line)))


def heads_of_line(line: Line[Values]) -> tuple[str, ...]:
    """The versions of an entry that nothing follows: one, or several when it is contested."""
    followed = {parent for change in line.changes for parent in change.draft.parents}
    return tuple(each for each in line.entries if each not in followed)


def keep_form(place: Workplace, key: str, shaft: str, body: Mapping[str, object]) -> None:
    """Keep a half-typed form on disk, in the place of an earlier one of the same key."""
    place.writer().keep_form(Form(key, shaft, json.dumps(body), place.now().isoformat()))


def kept_form(place: Workplace, key: str) -> dict[str, object] | None:
    """The half-typed form of this key, or None."""
    found = next((each for each in place.journal.forms() if each.key == key), None)
    return dict(json.loads(found.body)) if found else None


def drop_form(place: Workplace, key: str) -> None:
    """Forget a half-typed form once it is recorded."""
    place.writer().drop_form(key)
