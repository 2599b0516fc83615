"""One paper held against the record: its verdict, every fact with its sentence, and the next signature.

A file is looked at as it lies there; signing it further makes a new file and keeps the earlier one.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_papers as asks
from fieldapp.ui.screens.setup_page import framed
from fieldapp.ui.screens.signoff_middle import DecisionMiddle, GroupHead, Signature
from fieldapp.ui.screens.signoff_stop import Stoppable
from fieldapp.ui.screens.unlock_first import Deciding
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.finding_block import FindingBlock
from fieldapp.ui.widgets.strip import Reason, Strip
from fieldapp.ui.words import papers as words
from fieldapp.ui.words import signoff as sign_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.papers.paper import Paper

SHAPES: Final = {"yes": "met", "no": "not met", "unknown": "not shown", "": "not asked"}
VERDICTS: Final = {"valid": "met", "unknown": "not shown", "rejected": "not met"}
UNKNOWN: Final = "unknown"
_ORDER: Final = ("no", "unknown", "yes", "")


class PaperScreen(Screen):
    """``open(path)``."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.middle, self.bar, self.strip = DecisionMiddle(), Bar(), Strip(caption=tr(words.VERDICT))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.add_widget(framed(session, self.middle, self.bar, strip=self.strip))
        self.signature = Signature(caption=tr(sign_words.SIGNATURE), clear_text=tr(sign_words.CLEAR))
        self.signature.pad.bind(on_drawn=lambda _pad: self._show_next())
        self.stoppable = Stoppable(self.middle.progress)
        self.deciding = Deciding(session, way, self.middle.foot, self._signed, self._refused)
        self.deciding.yes_text = words.SIGN_ALL_THE_SAME
        self.deciding.at_work = self._at_work
        self.path = Path()
        self.page: asks.PaperPage | None = None
        self.busy = False
        self._others = ""
        self._listen()

    def _listen(self) -> None:
        self.strip.bind(on_next=lambda _strip: self._next())
        self.middle.foot.bind(on_asking=lambda _foot, _asking: self._show_next())

    def open(self, path: Path) -> None:
        if path != self.path:
            self.signature.pad.clear()
            self.middle.say("")
        self.path, self.page = path, None
        self.bar.title, self.bar.subtitle = path.name, ""
        self.middle.ids.stack.clear_widgets()
        self.strip.shown, self.strip.word, self.strip.reasons = "", "", []
        self._begin(tr(words.VERIFYING, file=path.name))
        self.again()

    def again(self) -> None:
        path, person = self.path, self.session.person
        self.session.ask(
            lambda place: asks.paper_page(place, path, person),
            lambda page: self._show(path, page),
            self._refused,
        )

    def goes_back(self) -> bool:
        return self.middle.foot.close()

    def _show(self, path: Path, page: asks.PaperPage) -> None:
        if path != self.path:
            return
        self._rest()
        self.page = page
        if page.shaft or page.kind == asks.SUMMARY:
            self.bar.title, self.bar.subtitle = tr(words.PAPER_OF[page.kind], shaft=page.shaft), path.name
        self.strip.shown, self.strip.word = VERDICTS[page.verdict], tr(page.verdict)
        self.strip.reasons = [Reason(VERDICTS[page.verdict], tr(page.says)), *_against(page)]
        stack = self.middle.ids.stack
        stack.clear_widgets()
        for group in page.groups:
            stack.add_widget(GroupHead(text=_about(group, page.groups)))
            for answer, says in sorted(group.facts, key=lambda each: _ORDER.index(each[0])):
                stack.add_widget(
                    FindingBlock(shown=SHAPES[answer], title=tr(words.ANSWERS.get(answer, "")), says=tr(says))
                )
        self.middle.pages.scroller.scroll_y = 1.0
        if self.middle.said in ("", self._others):
            name, role = self.session.person, tr(page.next_role)
            self._others = tr(words.OTHERS, role=role, name=name) if page.other_role else ""
            self.middle.say(self._others, "due" if self._others else "")
        self._show_next()

    def _show_next(self) -> None:
        page, strip = self.page, self.strip
        role = page.next_role if page is not None else ""
        if role and self.signature.parent is None:
            strip.extra.add_widget(self.signature)
        elif not role and self.signature.parent is not None:
            strip.extra.remove_widget(self.signature)
        drawn = self.signature.pad.enough
        self.signature.pad.caption = tr(words.SIGNATURE_OF, role=tr(role)) if role else ""
        strip.hold_next = bool(role) and drawn
        strip.next_text = "" if not role else tr(self._hold_to(role) if drawn else sign_words.DRAW_FIRST)
        strip.next_able = drawn and not self.busy and self.middle.foot.question is None

    def _hold_to(self, role: str) -> str:
        """What holding the button down does, in words."""
        first = self.page is not None and self.page.first
        return (words.FIRST_AS_ROLE if first else words.AS_ROLE)[role]

    def _next(self) -> None:
        path, signing = self.path, self.stoppable.begin(self.signature.pad.strokes)
        self.middle.say("")
        self.deciding.decide(lambda place, by, key: asks.sign(place, path, signing, by, key))

    def _at_work(self, busy: bool) -> None:
        self.busy = busy
        self.stoppable.show(busy, sign_words.CHECKING, words.SIGNING)
        self._show_next()

    def _begin(self, text: str) -> None:
        progress = self.middle.progress
        self.busy = True
        progress.text, progress.cancel_text, progress.running = text, "", True
        self._show_next()

    def _rest(self) -> None:
        self.busy, self.middle.progress.running = False, False
        self._show_next()

    def _signed(self, paper: Paper) -> None:
        self.session.ask(lambda place: place.now(), self.session.kept, self._refused)
        self.open(paper.path)
        said = tr(sign_words.SIGNED, file=paper.path.name, note=tr(paper.note)).strip()
        self.middle.say(said, "met")

    def _refused(self, problem: Exception) -> None:
        self._rest()
        if self.page is None:
            self.strip.shown, self.strip.word = "not shown", tr(UNKNOWN)
        self.middle.say(self.deciding.sentence(problem)[0], self.stoppable.shape)


def _about(group: asks.FactGroup, groups: tuple[asks.FactGroup, ...]) -> str:
    if group.about != "signature":
        return tr(words.OF_RECORD if group.about == "record" else words.OF_PAPER)
    number = [each for each in groups if each.about == "signature"].index(group) + 1
    return tr(words.OF_SIGNATURE, number=number, role=tr(group.role), name=group.name or tr(words.NOBODY))


def _against(page: asks.PaperPage) -> list[Reason]:
    """What keeps a paper from being valid, the worst first: it is not looked for among what holds."""
    facts = [fact for group in page.groups for fact in group.facts if fact[0] in ("no", UNKNOWN)]
    facts.sort(key=lambda each: _ORDER.index(each[0]))
    return [Reason(SHAPES[answer], tr(says)) for answer, says in facts]
