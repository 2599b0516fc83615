"""The middle of a round: the base drawn with its points, what is typed of one point, the keypad.

It shows and gives events; what they mean is decided by the screen.  What is typed stands above everything
that scrolls, so it is never out of view.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.round_typing import FIRM, FIRST
from fieldapp.ui.screens.round_parts import Reasons, RoundFields, RoundFigures
from fieldapp.ui.screens.round_tools import RoundBeside, Tape, Tools, Why
from fieldapp.ui.widgets.base_plan import BasePlan
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.keypad_state import KeypadState, finished, mode_of
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.plan_legend import PlanLegend
from fieldapp.ui.widgets.theme import theme

if TYPE_CHECKING:
    from fieldapp.ui.asks import Texts

REGISTERED = (Foot,)
KEYS: Final = "keys"
REASONS: Final = "reasons"
BESIDE: Final = "beside"
TAPE: Final = "tape"
WHY: Final = "why"
LARGE_TEXT: Final = 1.2
GIVEN: Final = ("on_point", "on_place", "on_field", "on_typed", "on_reason", "on_tool", "on_tape", "on_round")


class Column(BoxLayout):
    """Parts under each other (or side by side), as high as they are."""


class RoundMiddle(Ground):
    """``arrange`` it for the way the tablet is held, then show the base and a point.

    ``part`` is what stands in the place of the keys.
    """

    __events__ = (*GIVEN, "on_why")
    unit = StringProperty("")
    place_unit = StringProperty("")
    thickness = StringProperty("")
    part = StringProperty(KEYS)
    portrait = BooleanProperty(False)
    tight = BooleanProperty(False)
    least_plan = NumericProperty("280dp")
    most_plan = NumericProperty("640dp")
    full_key = NumericProperty("72dp")
    small_key = NumericProperty("64dp")
    full_field = NumericProperty("84dp")
    low_field = NumericProperty("76dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.plan = BasePlan(size_hint_y=None, takes_places=True)
        self.legend, self.figures, self.fields = PlanLegend(), RoundFigures(), RoundFields()
        self.notice = self.fields.ids.notice.__self__
        self.keypad = Keypad(show_unit=False, show_next=False)
        self.reasons, self.beside_panel, self.tape = Reasons(), RoundBeside(), Tape()
        self.tools, self.fill = Tools(), Column()
        self.upper = Column(orientation="horizontal", spacing="16dp")
        self.drawn, self.beside = Column(spacing="8dp"), Column(spacing="8dp")
        self.base_pages, self.key_pages = Pages(gap="8dp"), Pages(gap="8dp")
        self.typed_column = BoxLayout(orientation="vertical", spacing="8dp", size_hint_x=0.8)
        self._showing = False
        self._listen()
        self.begin()

    def _listen(self) -> None:
        self.plan.bind(
            on_point=lambda _plan, label: self.dispatch("on_point", label),
            on_place=lambda _plan, at: self.dispatch("on_place", at),
        )
        for part, event in (
            (self.fields, "on_field"),
            (self.reasons, "on_reason"),
            (self.tools, "on_tool"),
            (self.tape, "on_tape"),
            (self.beside_panel, "on_round"),
        ):
            part.bind(**{event: lambda _part, given, event=event: self.dispatch(event, given)})
        self.keypad.bind(text=self._key_pressed)
        self.fields.bind(placing=self._turn_pages)
        self.bind(thickness=self.fields.setter("thickness"), place_unit=self.fields.setter("place_unit"))
        self.bind(unit=self._take_unit, part=self._put, tight=lambda *_: self.arrange(bool(self.portrait)))
        theme.bind(text_scale=self._judge)
        watched = (self.base_pages, self.key_pages, self.figures, self.legend, self.upper, self.tools)
        for part in (*watched, self.ids.columns):
            part.bind(height=self._fit_plan)
        self.plan.bind(width=self._fit_plan)
        self._judge()

    def arrange(self, portrait: bool) -> None:
        """Level: base left, depths and keys right.  Upright: base beside the depths, keys under them.

        Upright with large text: the box in hand, then keys, then the base.
        """
        self.portrait = self.figures.upright = portrait
        self._take_apart()
        columns = self.ids.columns
        columns.orientation = "vertical" if portrait else "horizontal"
        columns.spacing = "8dp" if portrait else "16dp"
        self.fields.tight = self.tight
        if portrait or not self.tight:
            self.fields.add_widget(self.notice)
        self.fields.least = self.low_field if portrait else self.full_field
        if portrait and self.tight:
            keys, base = (self.fill, self.tools), (self.plan, self.legend, self.figures)
            _fill(self.key_pages, *((*base, *keys) if self.fields.placing else (*keys, *base)))
            _fill(columns, self.fields, self.key_pages)
        elif portrait:
            _fill(self.drawn, self.plan, self.legend)
            _fill(self.beside, self.fields, self.figures)
            _fill(self.upper, self.drawn, self.beside)
            _fill(self.key_pages, self.fill, self.tools)
            _fill(columns, self.upper, self.key_pages)
        else:
            _fill(self.base_pages, self.plan, self.legend, self.figures)
            # With large text a long sentence under the box would leave the keys no room: it goes with them.
            _fill(self.key_pages, *((self.notice,) if self.tight else ()), self.fill, self.tools)
            _fill(self.typed_column, self.fields, self.key_pages)
            _fill(columns, self.base_pages, self.typed_column)
        self._fit_plan()

    def begin(self) -> None:
        """Nothing is known yet of the round."""
        self.plan.cells, self.plan.points, self.plan.active = [], [], ""
        self.plan.suggested = self.plan.ghost = None
        self.plan.placing = self.fields.placing = False
        self.legend.classes, self.legend.note = [], ""
        self.figures.missing = self.figures.over = self.figures.advice = ""
        self.ids.foot.close()
        self.part = KEYS
        self._put()
        self.tools.show({})
        self.say("", "")
        self.show_point("", "", {}, "")

    def show_point(self, label: str, name: str, reading: Texts, last: str) -> None:
        """Put a point in hand at one of its depths; an empty label is none."""
        self._showing = True
        self.plan.active = self.fields.label = label
        self.fields.placing = False
        self.fields.active = name if label else ""
        self.fields.first, self.fields.firm = reading.get(FIRST, ""), reading.get(FIRM, "")
        self._take_unit()
        self._ready_keys(label, last)

    def show_place(self, label: str, name: str, texts: Texts) -> None:
        """Put the place of a point in hand, at its radius or its angle."""
        self._showing = True
        self.plan.active = self.fields.label = label
        self.fields.placing = True
        self.fields.active = name
        self.fields.r, self.fields.angle = texts["r"], texts["angle"]
        self.keypad.mode = mode_of(self.place_unit if name == "r" else "deg")
        self._ready_keys(label, "")

    def _ready_keys(self, label: str, last: str) -> None:
        self.keypad.last, self.keypad.fractions_open = last, False
        self.keypad.text = self.fields.text_of(self.fields.active) if label else ""
        self._put()
        self._showing = False

    def finished(self, name: str) -> str:
        """The whole reading of a box as it would be kept, open inches closed; empty while it is none."""
        text, mode = self.fields.text_of(name), mode_of(self.unit)
        return finished(KeypadState(mode, text)) or "" if text else ""

    def say(self, shown: str, text: str) -> None:
        self.fields.shown, self.fields.said, self.fields.refused = shown, text, ""

    def refuse(self, text: str, name: str) -> None:
        """Say in place what cannot be, and mark the box that it is about."""
        self.say("not met", text)
        self.fields.refused = name

    def close_part(self) -> bool:
        """The keys again; False when they are there."""
        was_open: bool = self.part != KEYS
        self.part = KEYS
        return was_open

    @cached_property
    def why(self) -> Why:
        """Why a round is changed; made when it is asked, as a box for text is slow to load."""
        made = Why()
        made.bind(on_why=lambda _part, text: self.dispatch("on_why", text))
        return made

    @property
    def reasons_open(self) -> bool:
        """Whether the reasons why there is no reading stand in the place of the keys."""
        return bool(self.part == REASONS)

    def on_point(self, _label: str) -> None:
        pass

    def on_place(self, _at: tuple[float, float]) -> None:
        pass

    def on_field(self, _name: str) -> None:
        pass

    def on_typed(self, _text: str) -> None:
        pass

    def on_reason(self, _reason: str) -> None:
        pass

    def on_tool(self, _name: str) -> None:
        pass

    def on_tape(self, _unit: str) -> None:
        pass

    def on_round(self, _entry: str) -> None:
        pass

    def on_why(self, _text: str) -> None:
        pass

    def _put(self, *_: object) -> None:
        parts = {KEYS: self.keypad, REASONS: self.reasons, BESIDE: self.beside_panel, TAPE: self.tape}
        part: Widget | None = self.why if self.part == WHY else parts[self.part]
        if part is self.keypad and not self.fields.active:
            part = None
        self.fields.away = self.part == BESIDE
        if self.fill.children != ([] if part is None else [part]):
            self.fill.clear_widgets()
            if part is not None:
                self.fill.add_widget(part)
            self.key_pages.scroller.scroll_y = 1.0

    def _key_pressed(self, _pad: Keypad, text: str) -> None:
        if self._showing or not self.fields.active:
            return
        self.fields.write(self.fields.active, text)
        self.dispatch("on_typed", text)

    def _judge(self, *_: object) -> None:
        self.tight = theme.text_scale > LARGE_TEXT

    def _turn_pages(self, *_: object) -> None:
        """Upright with large text the base comes first while a place is chosen on it."""
        if self.portrait and self.tight:
            self.arrange(True)
            self.key_pages.scroller.scroll_y = 1.0

    def _take_apart(self) -> None:
        drawn: tuple[Widget, ...] = (self.plan, self.legend, self.figures)
        parts = (*drawn, self.fields, self.notice, self.fill, self.tools)
        boxes = (self.base_pages, self.key_pages, self.typed_column, self.upper, self.drawn, self.beside)
        for part in (*parts, *boxes):
            if part.parent is not None:
                part.parent.remove_widget(part)

    def _fit_plan(self, *_: object) -> None:
        """The base takes what is left beside it, and is never wider than its place."""
        if self.portrait and self.tight:
            rest = self.key_pages.height - self.key_pages.keys.height - self.key_pages.gap
        elif self.portrait:
            keys = 4 * self.full_key + self.tools.height + 6 * self.key_pages.gap
            rest = self.ids.columns.height - keys - self.legend.height - self.drawn.spacing
        else:
            gaps = 2 * self.base_pages.gap
            rest = self.base_pages.height - self.legend.height - self.figures.height - gaps
            if rest < self.least_plan:  # large text: the base has a page, and what is said of it the next
                rest = self.base_pages.height - self.base_pages.keys.height
        room = min(rest, self.plan.width + self.plan.caption_px * 1.5, self.most_plan)
        self.plan.height = max(self.least_plan, room)
        self._fit_keys()

    def _fit_keys(self) -> None:
        """Smaller keys, still a thumb wide, where full ones would not all be in view."""
        wanted = 4 * self.full_key + self.tools.height + 4 * self.key_pages.gap
        low = self.portrait and wanted > self.ids.columns.height - self.upper.height - self.key_pages.gap
        self.keypad.key_height = self.small_key if self.tight or low else self.full_key

    def _take_unit(self, *_: object) -> None:
        self.fields.unit = self.unit
        if not self.fields.placing:
            self.keypad.mode = mode_of(self.unit)


def _fill(holder: Widget, *parts: Widget) -> None:
    for part in parts:
        holder.add_widget(part)


load_beside(__file__)
