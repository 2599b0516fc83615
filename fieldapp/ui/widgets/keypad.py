"""The keypad for gloves: numbers without a system keyboard, the last value one key away.

``text`` is what was typed (bind it to a field); ``on_next`` gives the whole reading.  Keys that cannot
be part of the number are shown faint and do nothing.  A key is made once and then shown or taken away:
another mode costs no pause.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.keypad_state import (
    BACK,
    EIGHTHS,
    FRACTIONS,
    MINUS,
    PAD_MODES,
    SAME,
    KeypadState,
    accepts,
    finished,
    kept_in,
    mode_of,
    press,
)
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import Key

MARK: Final = "mark"
UNIT: Final = "unit"
NEXT: Final = "next"
DIGIT_ROWS: Final = (("7", "8", "9"), ("4", "5", "6"), ("1", "2", "3"))
COLUMNS: Final = 4
Row = tuple[tuple[str, int], ...]


class Keypad(Widget):
    """Keys in four columns; the height follows from the rows.

    With ``units`` the unit key goes round them: ``unit`` changes, and ``mode`` with it.
    """

    __events__ = ("on_next",)
    mode = OptionProperty("decimal", options=list(PAD_MODES))
    text = StringProperty("")
    last = StringProperty("")
    unit = StringProperty("")
    units = ListProperty([])
    minus_allowed = BooleanProperty(False)
    fractions_open = BooleanProperty(False)
    show_unit = BooleanProperty(True)
    show_next = BooleanProperty(True)
    mark = OptionProperty(".", options=[".", ","])
    same_text = StringProperty("same")
    unit_text = StringProperty("unit")
    next_text = StringProperty("next")
    key_height = NumericProperty("72dp")
    gap = NumericProperty("8dp")
    rows = NumericProperty(4)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self._made: dict[str, Key] = {}
        self._spots: list[tuple[Key, int, int, int]] = []
        for name in ("mode", "fractions_open", "minus_allowed", "show_unit", "show_next"):
            self.fbind(name, self._build)
        for name in ("same_text", "unit_text", "next_text", "mark"):
            self.fbind(name, self._name_keys)
        for name in ("pos", "size", "key_height", "gap"):
            self.fbind(name, self._place)
        for name in ("text", "last", "units"):
            self.fbind(name, self._judge)
        self._build()

    def take_unit(self, unit: str) -> None:
        """Type in this unit from now on; what was typed stays where it can be part of such a reading."""
        mode = mode_of(unit)
        self.text = kept_in(mode, self.text)
        self.fractions_open = False
        self.mode, self.unit = mode, unit

    @property
    def typed(self) -> KeypadState:
        return KeypadState(self.mode, self.text, self.last, self.minus_allowed, self.fractions_open)

    def key(self, code: str) -> Key:
        """The key with this code; KeyError when it is not on the pad now."""
        return {key.code: key for key, *_ in self._spots}[code]

    def breaks(self) -> list[float]:
        """Where pages may part the pad: in the middle of the gap under each row, pixels from the top."""
        return [row * (self.key_height + self.gap) - self.gap / 2 for row in range(1, int(self.rows))]

    def on_next(self, _reading: str) -> None:
        pass

    def _build(self, *_: object) -> None:
        spots: list[tuple[Key, int, int, int]] = []
        rows = _rows(self)
        for row_index, row in enumerate(rows):
            column = 0
            for code, span in row:
                if code:
                    spots.append((self._key_for(code), row_index, column, span))
                column += span
        shown = {key for key, *_ in spots}
        for gone in [key for key in self.children if key not in shown]:
            self.remove_widget(gone)
        for key in shown.difference(self.children):
            self.add_widget(key)
        self._spots = spots
        self.rows = len(rows)
        self._place()
        self._judge()

    def _key_for(self, code: str) -> Key:
        if code not in self._made:
            kind = "digit" if code.isdigit() or code in FRACTIONS else ("next" if code == NEXT else "side")
            key = (BackKey if code == BACK else Key)(code=code, kind=kind)
            key.bind(on_release=self._pressed)
            self._made[code] = key
            self._name_keys()
        return self._made[code]

    def _name_keys(self, *_: object) -> None:
        words = {SAME: self.same_text, UNIT: self.unit_text, NEXT: self.next_text}
        signs = {BACK: "", EIGHTHS: "1/8", MARK: self.mark, MINUS: "\u2212"}
        for code, key in self._made.items():
            key.text = {**words, **signs}.get(code, code)

    def _place(self, *_: object) -> None:
        column_width = (self.width - (COLUMNS - 1) * self.gap) / COLUMNS
        for key, row, column, span in self._spots:
            key.size = (span * column_width + (span - 1) * self.gap, self.key_height)
            key.pos = (
                self.x + column * (column_width + self.gap),
                self.top - (row + 1) * self.key_height - row * self.gap,
            )

    def _judge(self, *_: object) -> None:
        for key, *_rest in self._spots:
            if key.code == NEXT:
                key.disabled = finished(self.typed) is None
            elif key.code == UNIT:
                key.disabled = len(self.units) < 2
            else:
                key.disabled = not accepts(self.typed, self.mark if key.code == MARK else key.code)

    def _pressed(self, key: Key) -> None:
        if key.code == UNIT:
            at = self.units.index(self.unit) if self.unit in self.units else -1
            self.take_unit(self.units[(at + 1) % len(self.units)])
        elif key.code == NEXT:
            reading = finished(self.typed)
            if reading is not None:
                self.text = reading
                self.dispatch("on_next", reading)
        else:
            after = press(self.typed, self.mark if key.code == MARK else key.code)
            self.text = after.text
            self.fractions_open = after.fractions_open


class BackKey(Key):
    """Backspace, drawn, as the font has no sign for it."""

    r = NumericProperty(0)


def _rows(pad: Keypad) -> list[Row]:
    digits = FRACTIONS if pad.fractions_open else ()
    sides = {
        "decimal": (BACK, SAME, UNIT if pad.show_unit else ""),
        "inch": (BACK, "", EIGHTHS),
        "feet-inch": ("'", '"', EIGHTHS),
        "count": (BACK, SAME, ""),
        "time": (BACK, "", ""),
    }[pad.mode]
    rows: list[Row] = []
    for row, side in zip(DIGIT_ROWS, sides, strict=True):
        start = 3 * len(rows)
        shown = (*digits[start : start + 3], "", "", "")[:3] if digits else row
        rows.append((*((code, 1) for code in shown), (side, 1)))
    return [*rows, *_foot_rows(pad)]


def _foot_rows(pad: Keypad) -> list[Row]:
    if pad.mode in {"count", "time"}:
        return [(("0", 3), (NEXT if pad.show_next else "", 1))]
    wide_zero = pad.mode != "feet-inch" and not pad.minus_allowed
    first = [("" if pad.fractions_open else "0", 2 if wide_zero else 1), (MARK, 1)]
    if pad.mode == "feet-inch":
        foot = [(MINUS, 1)] if pad.minus_allowed else []
        first += [(BACK, 1), (SAME, 1)]
    else:
        foot = []
        first += [(MINUS, 1)] if pad.minus_allowed else []
    if pad.mode == "decimal":
        return [(*first, (NEXT if pad.show_next else "", 1))]
    first += [(SAME, 1)] if pad.mode == "inch" else []
    foot += [(UNIT, 1)] if pad.show_unit else []
    foot += [(NEXT, COLUMNS - len(foot))] if pad.show_next else []
    return [tuple(first), tuple(foot)] if foot else [tuple(first)]


load_beside(__file__)
