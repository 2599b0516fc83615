"""What the screens of the three decisions share: the frame of a shaft, a middle, one decision on its way.

The buttons are there for everybody; who may press them is the desk's to say.  Whoever holds the tablet in
another role is told so before anything is read or typed.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.screens.signoff_middle import DecisionMiddle
from fieldapp.ui.screens.signoff_parts import to_stage
from fieldapp.ui.screens.unlock_first import Deciding
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.ui.asks import Texts


class DecisionScreen(Screen):
    """A screen gives ``_next``, ``_second``, ``_show_next``, ``_decided`` and ``_refused``."""

    kind = ""
    """Of the decision, as the desk keeps what is half written of it."""
    yes_text = ""
    """On the button that answers a question with yes."""
    caution = ""
    others = ""
    """What somebody in another role reads here, with a place for the ``name``."""
    page: asks.DecisionPage | asks.CreditPage | None

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft, self.busy = "", False
        self.middle = DecisionMiddle(caution=tr(self.caution) if self.caution else "")
        self.sides = Sides(session, self.middle, lambda stage: to_stage(way, self.shaft, stage))
        self.add_widget(self.sides.frame)
        self.deciding = Deciding(session, way, self.middle.foot, self._decided, self._refused)
        self.deciding.yes_text, self.deciding.at_work = self.yes_text, self._at_work
        strip = self.sides.strip
        self.sides.bar.bind(on_back=lambda _bar: way.back())
        strip.bind(on_next=lambda _strip: self._next(), on_second=lambda _strip: self._second())
        self.middle.foot.bind(on_asking=lambda _foot, _asking: self._show_next())
        self._stands = ""

    @property
    def free(self) -> bool:
        """Whether something can be pressed: the shaft is there, and nothing is asked or on its way."""
        return self.page is not None and self.middle.foot.question is None and not self.busy

    def keep_typed(self, typed: Texts) -> None:
        """Put what is half written on disk."""
        page, kind, shaft = self.page, self.kind, self.shaft
        if page is None or typed == page.typed:
            return
        page.typed.clear()
        page.typed.update(typed)
        self.session.ask(
            lambda place: asks.keep_decision(place, kind, shaft, typed), self.session.kept, self._refused
        )

    def stand(self, text: str, shown: str) -> None:
        """Say how things stand, unless something else is said just now, such as a refusal."""
        name = self.session.person
        if self.page is not None and self.page.other_role:
            text = "\n".join(each for each in (tr(self.others, name=name), text) if each)
            shown = "due" if shown in ("", "met") else shown  # no tick beside what somebody may not do
        if self.middle.said in ("", self._stands):
            self.middle.say(text, shown)
            self._stands = text

    def _at_work(self, busy: bool) -> None:
        self.busy = busy
        self._show_next()

    def _next(self) -> None:
        raise NotImplementedError

    def _second(self) -> None:
        raise NotImplementedError

    def _show_next(self) -> None:
        raise NotImplementedError

    def _decided(self, made: Any) -> None:
        raise NotImplementedError

    def _refused(self, problem: Exception) -> None:
        raise NotImplementedError
