"""What touches mean while an entry is typed: boxes, keys, the stopwatch, the one next thing.

After every finished box the entry is on disk and held against the limits.  A stopwatch runs on while other
screens are open, and after the app was closed: its start stands in the draft.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final

from kivy.clock import Clock

from fieldapp.desk.entry_forms.form import OBSERVED_AT, WHY, Ask, FormField, Option
from fieldapp.ui import asks_entry as asks
from fieldapp.ui.entry_typing import EntryTyping
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.entry_middle import EntryMiddle
from fieldapp.ui.screens.entry_watch import EntryWatch
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.widgets.strip import Reason
from fieldapp.ui.words import entry as words
from fieldapp.ui.words.tongue import tr

REST_S: Final = 0.6
"""Free text is kept on disk when the hand rests so long."""


class EntryHand:
    """The entry in hand.  ``take`` a page, then every touch changes it and shows what it became."""

    def __init__(self, session: Session, middle: EntryMiddle, sides: Sides) -> None:
        self._session, self._middle, self._sides = session, middle, sides
        self.wanted = asks.Wanted("")
        self.page: asks.EntryPage | None = None
        self.typing: EntryTyping | None = None
        self.striking = False
        self._watch = EntryWatch(middle.tools)
        self.recording = False
        """An entry is on its way to the journal: nothing is kept behind its back."""
        self._refused_at = ""
        self._reopened = self._on_disk = False
        self._doubted: set[tuple[str, str]] = set()
        self._rest = Clock.create_trigger(lambda _passed_s: self.hold(), REST_S)
        middle.bind(on_field=lambda _middle, name: self.go_to(name))
        middle.tools.bind(
            on_typed=lambda _tools, text: self._typed(text),
            on_done=lambda _tools: self._done(),
            on_unit=lambda _tools: self.hold(),
            on_watch=lambda _tools: self._watch_pressed(),
        )
        middle.tools.text_field.bind(on_left=lambda _field: self.hold())

    @property
    def why(self) -> str:
        """The reason of an amendment or of a strike; it stands among what is typed, and is kept with it."""
        return self.typing.typed.fields.get(WHY, "") if self.typing is not None else ""

    def let_go(self, wanted: asks.Wanted) -> None:
        """Nothing is in hand but the wish."""
        self._rest.cancel()
        self.wanted, self.page, self.typing = wanted, None, None
        self.striking, self.recording, self._refused_at = False, False, ""
        self._middle.tools.watch.stand_at(0.0)
        self._sides.strip.hold_next = False
        self._sides.strip.next_text = self._sides.strip.second_text = ""
        self._middle.begin()

    def take(self, page: asks.EntryPage) -> None:
        """Go on with an entry where it stands."""
        self.page, self.typing = page, EntryTyping(page.form, page.typed, page.before)
        self._reopened = self._on_disk = page.half_typed
        self._doubted.clear()
        self._middle.now = self._middle.tools.moment.now = self._now
        self._middle.cautions = [tr(each) for each in page.form.caution.split("\n") if each]
        self._middle.show_form(page, self.typing)
        self._watch.go_on(self.wanted.key, self.typing, self._now())
        self.show_box()
        if page.half_typed:
            self.hold()

    def show_box(self) -> None:
        """Everything that depends on the box in hand."""
        page, typing = self.page, self.typing
        if page is None or typing is None:
            return
        kind = tr(page.form.kind)
        title = tr(words.AMENDING, title=kind) if page.form.target else tr(page.form.title)
        bar = self._sides.bar
        bar.subtitle = tr(words.STRIKING, title=kind) if self.striking else title
        if page.page is None:
            bar.title, bar.subtitle = bar.subtitle, ""
        if self.striking:
            self._middle.show_reason(_reason(), self.why)
        else:
            self._middle.show_texts(typing)
            self._middle.show_tool(typing)
        self.show_next()

    def show_next(self) -> None:
        """The one thing to press, and the other one."""
        page, typing, strip = self.page, self.typing, self._sides.strip
        if page is None or typing is None:
            return
        free = self._middle.ids.foot.question is None
        missing = typing.needed()
        strip.hold_next = self.striking
        if self.striking:
            strip.next_text, able = tr(words.HOLD_TO_STRIKE), bool(self.why.strip())
        elif page.form.target and not typing.changed:
            strip.next_text, able = tr(words.NOTHING_CHANGED), False
        elif missing is not None:
            strip.next_text, able = tr(words.NEXT_FIELD, caption=tr(missing.caption)), True
        else:
            amends = words.RECORD_CHANGE if page.form.target else words.RECORD
            strip.next_text, able = tr(amends, title=tr(page.form.title)), not self._refused_at
        strip.next_able = free and able
        if not self.wanted.shaft:
            self._show_needs(typing)
        second = words.KEEP_IT if self.striking else words.STRIKE
        anew = tr(words.BEGIN_ANEW) if self._reopened and free else ""
        strip.second_text = tr(second) if page.form.target else anew

    def _show_needs(self, typing: EntryTyping) -> None:
        """An entry of no one shaft has no base: its strip says what it needs itself."""
        strip, needs = self._sides.strip, [each for each in typing.boxes if each.needed]
        strip.caption = tr(words.NEEDS) if needs else ""
        strip.reasons = [
            Reason("met", tr(each.caption), each.name)
            if typing.text(each.name)
            else Reason("due", tr(words.NEEDED, caption=tr(each.caption)), each.name)
            for each in needs
        ]

    def take_picture(self, name: str, digest: str, taken_at: datetime | None) -> None:
        """A picture was kept for a box; the moment of taking is offered where none was typed."""
        typing = self.typing
        if typing is None:
            return
        typing.name = name
        typing.typed.fields[name] = digest
        if taken_at is not None and not typing.text(OBSERVED_AT):
            typing.typed.fields[OBSERVED_AT] = taken_at.isoformat()
        self._refused_at = ""
        typing.name = typing.after()
        self.show_box()
        self.hold()

    def go_to(self, name: str) -> None:
        """A box was tapped, or is next."""
        typing = self.typing
        if typing is None or self.striking or self._middle.ids.foot.question is not None:
            return
        self.hold()
        typing.name = name
        self.show_box()

    def turn_striking(self) -> None:
        """From amending to striking, and back."""
        self.striking = not self.striking
        self._middle.ids.fields.disabled = self.striking
        self._middle.say("due" if self.striking else "", tr(words.STRIKE_SAYS) if self.striking else "")
        self.show_box()

    def leave_striking(self) -> bool:
        """Back to amending; False when nothing was to be struck."""
        if self.striking:
            self.turn_striking()
            return True
        return False

    def hold(self) -> None:
        """Keep what is typed on disk, and hold it against the limits."""
        page, typing, wanted = self.page, self.typing, self.wanted
        self._rest.cancel()
        shown = self._middle.get_parent_window() is not None
        if page is None or typing is None or self.recording or not shown:
            return
        if self.striking:
            self.keep()
            return
        typed, texts = typing.copy(), typing.texts()
        if self._is_untouched(page, typing):
            return

        self._on_disk = True

        def show(held: asks.Held) -> None:
            self._session.kept(held.kept_at)
            if self.typing is typing and typing.texts() == texts:
                self._show_held(held)

        self._session.ask(
            lambda place: asks.hold_entry(place, wanted, page.form, typed, texts), show, self.refused
        )

    def _is_untouched(self, page: asks.EntryPage, typing: EntryTyping) -> bool:
        """Whether there is nothing to keep, and nothing on disk that would be out of date."""
        return not self._on_disk and typing.typed.fields == page.before and not typing.typed.watch

    def keep(self) -> None:
        """Keep what is half typed on disk, without asking what the limits say."""
        page, typing, wanted = self.page, self.typing, self.wanted
        if page is None or typing is None or self.recording:
            return
        if self._is_untouched(page, typing):
            return
        typed, self._on_disk = typing.copy(), True
        self._session.ask(
            lambda place: asks.keep_entry(place, wanted, typed), self._session.kept, self.refused
        )

    def refused(self, problem: Exception) -> None:
        """Say in place what could not be done; what was typed stays."""
        self.recording = False
        said, name = sentence_of(problem)
        self._middle.refuse(said, name)
        self._refused_at = name
        self.show_next()

    def _now(self) -> datetime:
        return self._session.clock.now(self.page.zone if self.page is not None else "UTC")

    def _typed(self, text: str) -> None:
        typing = self.typing
        if typing is None:
            return
        if self.striking:
            typing.typed.fields[WHY] = text
            self._middle.write_reason(_reason(), text)
            self._rest()
        else:
            typing.typed.fields[typing.name] = text
            self._refused_at = ""
            self._middle.forget(typing.name)
            self._middle.show_texts(typing)
            if typing.box.ask is Ask.TEXT:
                self._rest()
        self.show_next()

    def _done(self) -> None:
        if self.typing is not None and not self.striking:
            self.go_to(self.typing.after())

    def _watch_pressed(self) -> None:
        typing = self.typing
        if typing is not None:
            self._watch.pressed(self.wanted.key, typing, self._now)
            self._refused_at = ""
            self.show_box()
            self.hold()

    def _show_held(self, held: asks.Held) -> None:
        typing = self.typing
        assert typing is not None
        self._refused_at = ""
        self._middle.answer(held.answers)
        if held.refused is not None:
            self.refused(held.refused)
        doubt = next((each for each in held.doubts if self._is_to_say(each)), None)
        if doubt is not None:
            self._say_doubt(doubt)
        self.show_next()

    def _is_to_say(self, doubt: asks.Doubt) -> bool:
        """A number is doubted once; while its box is in hand the sentence stays."""
        assert self.typing is not None
        return doubt.name == self.typing.name or (doubt.name, doubt.text) not in self._doubted

    def _say_doubt(self, doubt: asks.Doubt) -> None:
        """Take the box in hand again where it was left, and offer the other unit."""
        assert self.typing is not None
        self._doubted.add((doubt.name, doubt.text))
        if self.typing.name != doubt.name:
            self.typing.name = doubt.name
            self.show_box()
        self._middle.fields[doubt.name].says = ""  # the offer says it better than the limit of the possible
        self._middle.tools.doubt(tr(doubt.says), doubt.units)


def _reason() -> FormField:
    """The box in which the reason of a strike is typed."""
    reasons = tuple(Option(each, each) for each in words.WHY_REASONS)
    return FormField(WHY, words.WHY_STRUCK, Ask.TEXT, needed=True, options=reasons)
