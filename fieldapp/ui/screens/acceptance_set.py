"""The numbers of the set in the making, part by part, each with its source and what asks for it.

A part with a number that must be entered carries its shape in the rail.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens import acceptance_said as say
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead, SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.rail import Rail, Stage
from fieldapp.ui.words import acceptance as words
from fieldapp.ui.words.tongue import told, tr, tr_count

if TYPE_CHECKING:
    from fieldapp.record.acceptance import Parameter


class AcceptanceSetScreen(Screen):
    """A row leads to one number; the next thing shows what adopting would change."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar, self.rail = Bar(), Rail()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle(second_text=tr(words.OTHER_SET), next_text=tr(words.SEE_CHANGES))
        self.middle.bind(
            on_second=lambda _middle: way.go("acceptance"),
            on_next=lambda _middle: self._next(),
        )
        self.rail.bind(on_stage=lambda _rail, part: self.show_part(part))
        self.add_widget(framed(session, self.middle, self.bar, rail=self.rail))
        self.part = self.first_missing = ""
        self.page: asks.SetPage | None = None

    def open(self) -> None:
        self.part = ""
        self.again()

    def again(self) -> None:
        self.session.ask(asks.set_page, self._show, self._refused)

    def goes_back(self) -> bool:
        return False

    def show_part(self, part: str) -> None:
        """Show the numbers of one part of the set, then those that could be added to it."""
        page = self.page
        if page is None:
            return
        from fieldapp.criteria.parameters import PARAMETERS
        from fieldapp.desk.projects.acceptance_editing import keys_of, not_in

        at_top = part != self.part
        self.part = self.rail.chosen = part
        place = self.middle.ids.pages.scroller.scroll_y
        rows: list[SetupRow | SetupHead] = [
            self._row(key, each)
            for key, each in keys_of(page.draft.accepted).items()
            if PARAMETERS[each.name].group == part
        ]
        missing = [each for each in not_in(page.draft.accepted) if PARAMETERS[each].group == part]
        if missing:
            rows.append(SetupHead(text=tr(words.NOT_ASKED_HERE)))
            rows += [self._to_add(name) for name in missing]
        self.middle.show(rows)
        self.middle.ids.pages.scroller.scroll_y = 1.0 if at_top else place

    def _show(self, page: asks.SetPage) -> None:
        self.page = page
        accepted = page.draft.accepted
        to_enter = sum(each.value is None for each in accepted.parameters)
        self.bar.title = accepted.title
        self.bar.subtitle = tr_count(*words.MUST_ENTER, to_enter) if to_enter else ""
        names = ", ".join(page.draft.unfit)
        self.middle.say(tr(words.UNFIT, names=names) if names else "", "not shown")
        self.first_missing = "" if page.draft.edits else self._first_missing()
        self.middle.next_text = tr(words.ENTER_MISSING if self.first_missing else words.SEE_CHANGES)
        stages = [Stage(part, tr(named), self._state(part)) for part, named in words.GROUPS.items()]
        self.rail.stages = stages
        first = next((each.key for each in stages if each.shown == "not shown"), stages[0].key)
        part, self.part = self.part or first, self.part
        self.show_part(part)

    def _first_missing(self) -> str:
        """The first number that must be entered, in the order of the parts; empty when none must."""
        from fieldapp.criteria.parameters import PARAMETERS
        from fieldapp.desk.projects.acceptance_editing import keys_of

        assert self.page is not None
        parts = list(words.GROUPS)
        missing = [
            (parts.index(PARAMETERS[each.name].group), key)
            for key, each in keys_of(self.page.draft.accepted).items()
            if each.value is None
        ]
        return min(missing, key=lambda each: each[0])[1] if missing else ""

    def _next(self) -> None:
        """What must be entered, as long as nothing is changed; then what is changed."""
        if self.first_missing:
            self._tapped(self.first_missing)
        else:
            self.way.go("acceptance changes")

    def _state(self, part: str) -> str:
        from fieldapp.criteria.parameters import PARAMETERS

        assert self.page is not None
        found = [each for each in self.page.draft.accepted.parameters if PARAMETERS[each.name].group == part]
        if not found:
            return "not asked"
        return "not shown" if any(each.value is None for each in found) else "met"

    def _row(self, key: str, parameter: Parameter) -> SetupRow:
        assert self.page is not None
        edited = key in {each.key for each in self.page.draft.edits}
        said = (
            tr(words.EDITED) if edited else "",
            say.case_of(parameter.applies),
            tr(words.NOTE, note=parameter.note) if parameter.note else "",
        )
        return row_of(
            self._tapped,
            subject=key,
            indented=True,
            shown="not shown" if parameter.value is None else "due" if edited else "",
            title=say.meaning_of(parameter.name),
            says="\n".join(each for each in said if each),
            detail=f"{say.source_of(parameter)}\n{say.asked_by(parameter.name)}",
            value=say.value_of(parameter),
        )

    def _to_add(self, name: str) -> SetupRow:
        return row_of(
            self._tapped,
            subject=name,
            shown="not asked",
            title=say.meaning_of(name),
            detail=say.asked_by(name),
            value=tr(words.ADD),
        )

    def _tapped(self, key: str) -> None:
        self.way.go("acceptance number", key=key)

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))
