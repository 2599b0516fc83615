"""The cleanout passes of a shaft with the depths before and after, and what one more is worth."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldapp.criteria.look import pass_end
from fieldapp.criteria.phrasing import Quantity
from fieldapp.desk.entry_forms.form import EntryForm, FieldAnswer
from fieldapp.desk.entry_forms.pass_answers import pass_answers
from fieldapp.desk.looking import look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import CleanoutPass


@dataclass(frozen=True, slots=True)
class PassView:
    """One pass; a depth that was not read is empty, and then ``gained`` is empty too."""

    number: int
    method: str
    ended_at: datetime
    before: str
    after: str
    gained: str
    came_up: str


@dataclass(frozen=True, slots=True)
class PassesView:
    """The passes, the latest first, and the worth of the next one, with its outcome when it is not shown."""

    passes: tuple[PassView, ...]
    worth: FieldAnswer


def passes_view(place: Workplace, shaft_id: str, at: datetime | None) -> PassesView:
    """The passes of a shaft at a moment, or now.  Raises UnknownShaft, NotOpen."""
    look = look_at(place, shaft_id, at)
    form = EntryForm(CleanoutPass.KIND, "", shaft_id, ())
    zone, say = look.at.tzinfo, look.phrases.say
    found = []
    for line in sorted(look.lines(CleanoutPass), key=pass_end, reverse=True):
        made = line.values
        before, after = made.depth_before, made.depth_after
        deeper = None if before is None or after is None else after.si - before.si
        found.append(
            PassView(
                made.number,
                str(made.method),
                pass_end(line)[0].astimezone(zone),
                "" if before is None else str(before),
                "" if after is None else str(after),
                "" if deeper is None or deeper < 0 else say(Quantity.THICKNESS, deeper),
                made.came_up,
            )
        )
    return PassesView(tuple(found), pass_answers(place, look, form, {})[0])
