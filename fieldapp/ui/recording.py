"""Recording from a form: somebody holds the tablet, and what is unlikely is asked before it is written."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldapp.ui.asks import By
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.words import common

if TYPE_CHECKING:
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry

Act = Callable[["Workplace", By], "Entry"]


class Recording:
    """Carries one entry to the journal: person, question, durable, then ``recorded``."""

    def __init__(
        self,
        session: Session,
        way: Walk,
        foot: Foot,
        recorded: Callable[[Entry], None],
        refused: Callable[[Exception], None],
    ) -> None:
        self._session, self._way, self._foot = session, way, foot
        self._recorded, self._refused = recorded, refused

    def record(self, act: Act, confirmed: tuple[str, ...] = ()) -> None:
        """Record by ``act``; nothing is written until every question is answered with yes."""
        if not self._session.person:
            self._way.go("person", then=lambda: self.record(act, confirmed))
            return
        by = By(self._session.person, confirmed)
        self._session.ask(
            lambda place: act(place, by), self._done, lambda problem: self._problem(act, problem)
        )

    def _done(self, entry: Entry) -> None:
        self._session.recorded(entry)
        self._recorded(entry)

    def _problem(self, act: Act, problem: Exception) -> None:
        from fieldapp.desk.inspector import AskFirst

        if not isinstance(problem, AskFirst):
            self._refused(problem)
            return
        codes = problem.codes
        self._foot.ask(
            common.ASK_FIRST.format(said=problem),
            common.CHECK_AGAIN,
            common.RECORD_ALL_THE_SAME,
            lambda: self.record(act, codes),
        )


def sentence_of(problem: Exception) -> tuple[str, str]:
    """A problem as a sentence, and the field that it is about where it names one."""
    from fieldapp.record.reading import Impossible

    if isinstance(problem, Impossible):
        name = problem.field_name.replace("_", " ")
        said = common.CANNOT_BE.format(
            field=common.sentence(name), read=problem.read, expected=problem.expected
        )
        return said, problem.field_name
    return str(problem), ""
