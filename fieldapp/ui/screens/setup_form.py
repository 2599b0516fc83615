"""A form of the office: boxes left, what the box in hand needs right, one thing to press at the foot.

It shows and gives events.  What is typed here is no entry yet: the screen says what becomes of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.entry_typing import EntryTyped, EntryTyping
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.entry_middle import EntryMiddle
from fieldapp.ui.widgets.action_row import ActionRow
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import ActButton, PlainButton
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.words import entry as entry_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.form import EntryForm

REGISTERED = (ActButton, ActionRow, PlainButton)


class SetupForm(Ground):
    """Gives ``on_typed(name, text)`` for every change, ``on_next()`` when all is there, ``on_second()``."""

    __events__ = ("on_typed", "on_next", "on_second")
    next_text = StringProperty("")
    second_text = StringProperty("")
    able = BooleanProperty(True)
    goes_on = BooleanProperty(True)
    """After one of a few words is chosen the next box is taken in hand."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.typing: EntryTyping | None = None
        self.boxes = EntryMiddle()
        self.add_widget(self.boxes, index=1)
        self.boxes.bind(on_field=lambda _boxes, name: self.go_to(name))
        self.boxes.tools.bind(
            on_typed=lambda _tools, text: self._typed(text),
            on_done=lambda _tools: self._done(),
        )
        self.next, self.second = self.ids.next.__self__, self.ids.second.__self__
        self.next.bind(on_release=lambda _button: self._next())
        self.second.bind(on_release=lambda _button: self.dispatch("on_second"))
        for name in ("next_text", "able", "second_text"):
            self.fbind(name, self._show_next)
        self.foot.bind(on_asking=self._show_next)

    @property
    def keypad(self) -> object:
        """The keys that are in view."""
        return self.boxes.keypad

    @property
    def fields(self) -> dict[str, Any]:
        """The boxes by name."""
        return self.boxes.fields

    @property
    def tools(self) -> Any:
        """What the box in hand is typed with."""
        return self.boxes.tools

    @property
    def foot(self) -> Any:
        """Where a question stands until it is answered."""
        return self.boxes.ids.foot

    def begin(
        self,
        form: EntryForm,
        typed: dict[str, str],
        zone: str = "UTC",
        now: Callable[[], datetime] | None = None,
    ) -> None:
        """Take a form in hand with what is typed of it."""
        from fieldapp.ui.asks_entry import EntryPage

        self.typing = EntryTyping(form, EntryTyped(dict(typed)))
        page = EntryPage(
            page=None,
            form=form,
            typed=self.typing.typed,
            half_typed=False,
            before={},
            zone=zone,
            heads=None,
            answers=(),
        )
        self.boxes.now = self.boxes.tools.moment.now = now
        self.boxes.show_form(page, self.typing)
        self._show_box()

    def beside(self, lines: Iterable[str]) -> None:
        """Captions under the boxes."""
        holder = self.boxes.ids.beside
        holder.clear_widgets()
        for each in lines:
            holder.add_widget(Caption(text=each))

    def texts(self) -> dict[str, str]:
        """What is typed, and what is given where nothing is."""
        if self.typing is None:
            return {}
        return {**dict(self.typing.form.given), **self.typing.texts()}

    def go_to(self, name: str) -> None:
        """A box was tapped, or is next."""
        if self.typing is not None and self.foot.question is None:
            self.typing.name = name
            self._show_box()

    def show_again(self) -> None:
        """Another box was filled from the one in hand."""
        if self.typing is not None:
            self.boxes.show_texts(self.typing)
            self._show_next()

    def refused(self, problem: Exception) -> None:
        """Say in place what cannot be; what was typed stays."""
        said, name = sentence_of(problem)
        self.boxes.refuse(said, name)
        self.able = True
        if self.typing is not None and name in self.fields:
            if self.typing.name != name:
                self.typing.name = name
                self._show_box()
            Clock.schedule_once(lambda _passed_s: self._bring_in_view(name))

    def on_typed(self, _name: str, _text: str) -> None:
        pass

    def on_next(self) -> None:
        pass

    def on_second(self) -> None:
        pass

    def _bring_in_view(self, name: str) -> None:
        pages = self.boxes.ids.field_pages
        if pages.overflow and name in self.fields:
            pages.scroller.scroll_to(self.fields[name], padding=8, animate=False)

    def _show_box(self) -> None:
        assert self.typing is not None
        self.boxes.show_texts(self.typing)
        self.boxes.show_tool(self.typing, alone=not self.goes_on)
        self._show_next()

    def _typed(self, text: str) -> None:
        typing = self.typing
        if typing is None:
            return
        typing.typed.fields[typing.name] = text
        self.boxes.forget(typing.name)
        self.boxes.show_texts(typing)
        self._show_next()
        self.dispatch("on_typed", typing.name, text)

    def _done(self) -> None:
        if self.typing is not None and self.goes_on:
            self.go_to(self.typing.after())

    def _next(self) -> None:
        missing = self.typing.needed() if self.typing is not None else None
        if missing is None:
            self.dispatch("on_next")
            return
        in_hand = self.typing is not None and self.typing.name == missing.name
        self.go_to(missing.name)
        if in_hand:
            self.tools.write()

    def _show_next(self, *_: object) -> None:
        missing = self.typing.needed() if self.typing is not None else None
        shown = self.next_text
        if missing is not None and shown:
            shown = tr(entry_words.NEXT_FIELD, caption=tr(missing.caption))
        self.next.text, self.second.text = shown, self.second_text
        self.next.disabled = not self.able
        free = self.foot.question is None
        _stand(self.ids.actions, ((self.second, self.second_text), (self.next, shown)) if free else ())


def _stand(actions: ActionRow, buttons: tuple[tuple[Widget, str], ...]) -> None:
    wanted = [each for each, text in buttons if text]
    if list(reversed(actions.children)) != wanted:
        actions.clear_widgets()
        for each in wanted:
            actions.add_widget(each)


load_beside(__file__)
