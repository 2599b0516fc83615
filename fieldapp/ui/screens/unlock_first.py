"""Carries one decision to the desk: the person, that person's own key, the second question, then durable.

A key is opened only when a decision needs it.  Nothing is written until every question is answered with yes.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from fieldapp.ui.asks import By
from fieldapp.ui.jobs import known_problems
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.words import signoff as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.criteria.finding import Finding
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.questions import Objection

Act = Callable[["Workplace", By, "UnlockedKey"], Any]
MOST_NAMED: Final = 6
COUNTED: Final = {"not met": words.NOT_MET, "not shown": words.NOT_SHOWN}


class Deciding:
    """``decide`` by an act; ``yes_text`` stands on the button that answers a question with yes."""

    def __init__(
        self,
        session: Session,
        way: Walk,
        foot: Foot,
        done: Callable[[Any], None],
        refused: Callable[[Exception], None],
    ) -> None:
        self._session, self._way, self._foot = session, way, foot
        self._done, self._refused = done, refused
        self.yes_text = ""
        self.at_work: Callable[[bool], None] = lambda _busy: None
        """Told when a decision is on its way to the journal, and when something came back."""
        self.against: tuple[Finding, ...] = ()
        """What stands against the decision, to be named in the question."""

    def with_key(self, go_on: Callable[[UnlockedKey], None]) -> None:
        """Go on once somebody holds the tablet whose own key is unlocked; both are asked for if need be."""
        session = self._session
        key = own_key(session) if session.person else None
        if key is not None:
            go_on(key)
        else:
            self._way.go("unlock" if session.person else "person", then=lambda: self.with_key(go_on))

    def decide(self, act: Act, confirmed: tuple[str, ...] = ()) -> None:
        """Decide by ``act``, with the key of the person who holds the tablet."""
        self.with_key(lambda key: self._decide(act, confirmed, key))

    def _decide(self, act: Act, confirmed: tuple[str, ...], key: UnlockedKey) -> None:
        by = By(self._session.person, confirmed)
        self.at_work(True)
        self._session.ask(
            lambda place: act(place, by, key),
            self._came,
            lambda problem: self._problem(act, confirmed, problem),
        )

    def _came(self, made: Any) -> None:
        self.at_work(False)
        self._done(made)

    def _problem(self, act: Act, confirmed: tuple[str, ...], problem: Exception) -> None:
        from fieldapp.desk.inspector import AskFirst

        self.at_work(False)
        if not isinstance(problem, AskFirst):
            self._refused(problem)
            return
        codes = tuple(dict.fromkeys((*confirmed, *problem.codes)))
        says = self.sentence(problem)[0]
        self._foot.ask(
            says if says.endswith("?") else tr(words.ALL_THE_SAME, said=says),
            tr(words.NO),
            tr(self.yes_text),
            lambda: self.decide(act, codes),
        )

    def sentence(self, problem: Exception) -> tuple[str, str]:
        """A problem as a sentence, and the field that it is about where it names one.

        What stands on the same screen, finding by finding, is counted and named there, not told again.
        """
        found: tuple[Objection, ...] = getattr(problem, "found", ())
        if not any(each.code in words.IN_SHORT for each in found):
            return sentence_of(problem)
        says = (self._short(each) if each.code in words.IN_SHORT else tr(each.says) for each in found)
        return " ".join(says), found[0].field

    def _short(self, each: Objection) -> str:
        names = [tr(found.requirement) for found in self.against[:MOST_NAMED]]
        rest = len(self.against) - len(names)
        if rest > 0:
            names.append(tr(words.AND_MORE, count=rest))
        return tr(words.IN_SHORT[each.code], counts=counted(self.against), names=", ".join(names))


def counted(against: tuple[Finding, ...]) -> str:
    """How much stands against a decision: ``1 not met, 5 not shown``."""
    counts = Counter(str(found.outcome) for found in against)
    return ", ".join(tr(COUNTED[state], count=counts[state]) for state in COUNTED if counts[state])


def own_key(session: Session) -> UnlockedKey | None:
    """The key of the person who holds the tablet, or None while it is not unlocked."""
    try:
        key = session.key()
    except known_problems():  # its time is over, or none was unlocked
        return None
    if key.certificate.name != session.person:
        session.lock()
        return None
    return key
