"""Recording from a form: somebody holds the tablet, and what is unlikely is asked before it is written."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.clock import Clock

from fieldapp.ui.asks import By
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import told, tr

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
        """Show the saved line in a frame of its own; what comes next takes several frames to lay out."""
        self._session.recorded(entry)
        Clock.schedule_once(lambda _passed_s: self._recorded(entry))

    def _problem(self, act: Act, problem: Exception) -> None:
        from fieldapp.desk.inspector import AskFirst

        if not isinstance(problem, AskFirst):
            self._refused(problem)
            return
        codes = problem.codes
        self._foot.ask(
            tr(common.ASK_FIRST, said=problem),
            tr(common.CHECK_AGAIN),
            tr(common.RECORD_ALL_THE_SAME),
            lambda: self.record(act, codes),
        )


def sentence_of(problem: Exception) -> tuple[str, str]:
    """A problem as a sentence, and the field that it is about where it names one."""
    from fieldapp.record.reading import Impossible

    if isinstance(problem, Impossible):
        name = common.sentence(tr(problem.about))
        template = common.CANNOT_BE if str(problem.read).strip() else common.NOTHING_WRITTEN
        told_of = tr(template, field=name, read=problem.read, expected=tr(problem.expected))
        return told_of, problem.field_name
    return told(problem), ""
