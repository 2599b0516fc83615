"""What adopting would change against the set adopted now, and adopting: a new set-up by the office."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.recording import Recording, sentence_of
from fieldapp.ui.screens import acceptance_said as say
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupRow, SetupSays
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import acceptance as words
from fieldapp.ui.words.tongue import tr, tr_count

if TYPE_CHECKING:
    from fieldapp.desk.projects.acceptance_editing import Difference
    from fieldapp.record.entry import Entry


class AcceptanceChangesScreen(Screen):
    """A row leads to its number; once adopted the way leads back to the project."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.CHANGES_TITLE))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle(second_text=tr(words.BACK_TO_NUMBERS), next_text=tr(words.ADOPT))
        self.middle.bind(on_second=lambda _middle: way.back(), on_next=lambda _middle: self._adopt())
        self.add_widget(framed(session, self.middle, self.bar))
        foot = self.middle.ids.foot
        self.recording = Recording(session, way, foot, self._adopted, self._refused)

    def open(self) -> None:
        self.middle.say("")
        self.middle.next_able = False
        self.again()

    def again(self) -> None:
        self.session.ask(asks.set_page, self._show, self._refused)

    def goes_back(self) -> bool:
        return bool(self.middle.ids.foot.close())

    def _show(self, page: asks.SetPage) -> None:
        accepted = page.draft.accepted
        self.bar.subtitle = accepted.title
        changes = len(page.changes)
        self.middle.next_able = accepted != page.adopted
        rows: list[SetupRow] = [self._row(each) for each in page.changes]
        says = tr_count(*words.CHANGES, changes) if accepted != page.adopted else tr(words.NOTHING_CHANGES)
        head = [SetupSays(text=says)]
        to_enter = sum(each.value is None for each in accepted.parameters)
        if to_enter:
            head.append(SetupSays(shown="not shown", text=tr_count(*words.STILL_OPEN, to_enter)))
        self.middle.show((*head, *rows, SetupSays(text=tr(words.COUNTS_FROM_NOW))))

    def _row(self, change: Difference) -> SetupRow:
        before, after = tr(change.before), tr(change.after)
        if not before:
            value = tr(words.COMES_IN, after=after)
        elif not after:
            value = tr(words.GOES_OUT, before=before)
        else:
            value = tr(words.BECOMES, before=before, after=after)
        return row_of(
            lambda key: self.way.go("acceptance number", key=key),
            subject=change.key,
            title=say.meaning_of(change.name),
            says=say.case_of(change.case),
            value=value,
        )

    def _adopt(self) -> None:
        self.middle.next_able = False
        self.recording.record(asks.adopt_set)

    def _adopted(self, _entry: Entry) -> None:
        self.way.go("setup")

    def _refused(self, problem: Exception) -> None:
        self.middle.say(sentence_of(problem)[0])
        self.middle.next_able = True
