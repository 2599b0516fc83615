"""The middle of a screen on which something is decided: a sentence, pages, work in progress, the foot.

What hurts people stands at the foot, or after everything else where large text leaves it no room there;
a long sentence stands on the pages and turns with them, and so does a long question, over its answers.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Ground, Rule
from fieldapp.ui.widgets.drawing_pad import DrawingPad
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import wrapped_height
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.progress import Progress
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.widgets.strip import Strip
from fieldapp.ui.widgets.text import Caption, Number, Words
from fieldapp.ui.widgets.text_field import TextField

REGISTERED = (Caption, Foot, Notice, Pages, Progress, Rule, TextField, Words)
CAUTION_SHARE: Final = 0.2
SAID_SHARE: Final = 0.25
ASKED_SHARE: Final = 0.4
TURNED: Final = 0.2
REST_S: Final = 0.6
ASIDE_EM: Final = 26


class Written(BoxLayout):
    """A caption and free text under it; gives ``on_typed(text)``, and ``on_left()`` when the hand rests."""

    __events__ = ("on_typed", "on_left")
    caption = StringProperty("")
    hint = StringProperty("")
    text = StringProperty("")
    field = ObjectProperty(None)

    def on_kv_post(self, _base: Widget) -> None:
        self._rest = Clock.create_trigger(lambda _passed_s: self.dispatch("on_left"), REST_S)
        self.field.bind(
            on_typed=lambda _field, text: self._typed(text), on_left=lambda _field: self.dispatch("on_left")
        )

    def on_typed(self, _text: str) -> None:
        pass

    def on_left(self) -> None:
        pass

    def _typed(self, text: str) -> None:
        self.text = text
        self.dispatch("on_typed", text)
        self._rest()  # the tablet may die before the box is left


class Signature(BoxLayout):
    """The drawing pad with the room that a column leaves around it."""

    def __init__(self, caption: str, clear_text: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.pad = DrawingPad(caption=caption, clear_text=clear_text, sheet_height="96dp")
        self.pad.sheet.bind(size=self._shape)
        self.add_widget(self.pad)
        self._ratio = 0.0

    def _shape(self, sheet: Widget, size: list[float]) -> None:
        """In a box of another shape the strokes would leave it: they are drawn anew after a turn."""
        ratio = size[0] / max(1.0, size[1])
        if self.pad.enough and abs(ratio - self._ratio) > TURNED:
            self.pad.clear()
        self._ratio = ratio


class GroupHead(BoxLayout):
    """A caption with a line under it, over rows that begin where it does; ``strong`` where it counts."""

    leads = True
    text = StringProperty("")
    strong = BooleanProperty(False)


class Stack(BoxLayout):
    """Widgets under each other, as high as they are."""


class Aside(Stack):
    """A number in the strip, large, with what it is and what it rests on; not there while it has none.

    Where the strip is a band, or text is large, it would take the room of everything else: then it does not
    stand there, and ``fits`` says so.
    """

    em = NumericProperty("20sp")
    fits = BooleanProperty(True)

    def __init__(self, strip: Strip, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._strip = strip
        self.told = ("", "", "")
        for name in ("compact", "height"):
            strip.fbind(name, self._stand)
        self.fbind("em", self._stand)

    def tell(self, caption: str, number: str, note: str = "") -> None:
        """Say these three; an empty ``number`` takes them away."""
        if (caption, number, note) == self.told:
            return
        self.told = (caption, number, note)
        self.clear_widgets()
        for each in (Caption(text=caption), Number(text=number), *([Caption(text=note)] if note else [])):
            self.add_widget(each)
        self._stand()

    def _stand(self, *_: object) -> None:
        strip = self._strip
        self.fits = not strip.compact and strip.height > ASIDE_EM * self.em
        wanted = self.fits and bool(self.told[1])
        if wanted and self.parent is None:
            strip.extra.add_widget(self)
        elif not wanted and self.parent is not None:
            strip.extra.remove_widget(self)


class DecisionMiddle(Ground):
    """``say`` puts a sentence over the pages; ``caution`` is for what hurts people here."""

    shown = OptionProperty("", options=list(STATES))
    said = StringProperty("")
    caution = StringProperty("")
    caution_px = NumericProperty("20sp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._fit = Clock.create_trigger(self._fit_words)
        for name in ("caution", "caution_px", "said", "shown", "size"):
            self.fbind(name, self._fit)

    def on_kv_post(self, _base: Widget) -> None:
        self.foot.bind(on_asking=lambda _foot, _asking: self._asked())

    @property
    def pages(self) -> Pages:
        """What scrolls."""
        pages: Pages = self.ids.pages
        return pages

    @property
    def foot(self) -> Foot:
        """Where a question stands until it is answered."""
        foot: Foot = self.ids.foot
        return foot

    @property
    def progress(self) -> Progress:
        """What takes a while."""
        progress: Progress = self.ids.progress
        return progress

    def say(self, text: str, shown: str = "not met") -> None:
        """One sentence over the pages; empty takes it away."""
        self.shown, self.said = (shown if text else ""), text
        self._fit_words()
        if self.ids.inside.text:
            self.pages.scroller.scroll_y = 1.0

    def _asked(self) -> None:
        self._fit_words()
        if self.ids.inside.text:
            self.pages.scroller.scroll_y = 1.0

    def _fit_words(self, *_: object) -> None:
        width = max(1.0, self.width - self.padding[0] - self.padding[2])
        high = wrapped_height(self.caution, self.caution_px, False, width) if self.caution else 0
        fits = high <= CAUTION_SHARE * self.height
        question, beside = self.foot.question, max(1.0, width - 50)
        said, shown, share = self.said, self.shown, SAID_SHARE
        if question is not None:
            asked = wrapped_height(question.text, self.caution_px, False, beside)
            question.told = asked <= ASKED_SHARE * self.height
            if not question.told:
                said, shown, share = question.text, "due", 0.0
        over, inside = self.ids.over, self.ids.inside
        high = wrapped_height(said, self.caution_px, False, beside) if said else 0
        short = high <= share * self.height
        over.shown, over.text = (shown, said) if short else ("", "")
        inside.shown, inside.text = ("", "") if short else (shown, said)
        self.foot.caution = self.caution if fits else ""
        self.ids.after.text = "" if fits else self.caution


load_beside(__file__)
