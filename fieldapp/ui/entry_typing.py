"""Where somebody is while typing an entry: the boxes, the one in hand, units, what is still needed.  Pure.

What is typed is kept as the desk reads it: a number in another unit than the field's ends in that unit.  A
place on the base is two boxes here, and one text for the desk.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from fieldapp.desk.entry_forms.form import OBSERVED_AT, WHY, Ask, EntryForm, FormField, Option
from fieldapp.ui.words import entry as words
from fieldapp.ui.words.tongue import tr

RADIUS: Final = " r"
ANGLE: Final = " angle"
DEGREES: Final = "deg"
NUMBERS: Final = (Ask.READING, Ask.COUNT)
BARE: Final = frozenset({"ft-in", "pH", "count", "ratio", ""})


@dataclass(slots=True)
class EntryTyped:
    """What was typed of an entry by box, and since when a stopwatch runs by field (ISO time)."""

    fields: dict[str, str] = field(default_factory=dict)
    watch: dict[str, str] = field(default_factory=dict)


def boxes_of(form: EntryForm) -> tuple[FormField, ...]:
    """The boxes of a form: its fields, a place as two, and the reason of a change last."""
    found: list[FormField] = []
    for each in form.fields:
        if each.ask is Ask.PLACE:
            found += _place_boxes(each)
        elif each.name != WHY:
            found.append(each)
    if form.target:
        found.append(_reason(form))
    return tuple(found)


def _place_boxes(each: FormField) -> list[FormField]:
    far = tr(words.FROM_CENTRE, caption=tr(each.caption))
    turned = tr(words.FROM_UPSTATION, caption=tr(each.caption))
    return [
        replace(each, name=each.name + RADIUS, caption=far, ask=Ask.READING),
        FormField(each.name + ANGLE, turned, Ask.READING, each.needed, DEGREES, (DEGREES,)),
    ]


def _reason(form: EntryForm) -> FormField:
    reasons = tuple(Option(each, each) for each in words.WHY_AMENDED)
    asked = next((each for each in form.fields if each.name == WHY), None)
    if asked is None:
        return FormField(WHY, words.WHY, Ask.TEXT, needed=True, options=reasons)
    return replace(asked, needed=True, options=asked.options or reasons)


def apart(box: FormField, text: str) -> tuple[str, str]:
    """A typed number without its unit, and the unit."""
    number, _, last = text.rpartition(" ")
    if number and last in box.units:
        return number, last
    return text, "ft-in" if "'" in text and "ft-in" in box.units else box.unit


def together(box: FormField, number: str, unit: str) -> str:
    """A number as the desk reads it in this unit."""
    return number if not number or unit in {box.unit, "ft-in"} else f"{number} {unit}"


@dataclass(slots=True)
class EntryTyping:
    """An entry in hand.  ``name`` is the box being typed; ``before`` is what an amended entry says."""

    form: EntryForm
    typed: EntryTyped
    before: dict[str, str] = field(default_factory=dict)
    name: str = ""
    boxes: tuple[FormField, ...] = ()

    def __post_init__(self) -> None:
        self.boxes = boxes_of(self.form)
        for each in self.form.fields:
            if each.ask is Ask.PLACE:
                self._spread(each.name)
        known = {each.name for each in self.boxes}
        self.typed.fields = {name: text for name, text in self.typed.fields.items() if name in known}
        self.name = self._first()

    def _spread(self, place: str) -> None:
        """The text of a place in its two boxes."""
        for texts in (self.before, self.typed.fields):
            far, _, turned = texts.pop(place, "").partition(";")
            if far:
                texts[place + RADIUS] = far.strip()
                texts[place + ANGLE] = turned.strip().removesuffix(DEGREES).strip()

    def _first(self) -> str:
        if self.form.target:
            return self.boxes[0].name
        empty = (each.name for each in self.boxes if not self.text(each.name) and each.name != OBSERVED_AT)
        return next(empty, self.boxes[0].name)

    @property
    def box(self) -> FormField:
        """The box in hand."""
        return self.box_of(self.name)

    def box_of(self, name: str) -> FormField:
        return next(each for each in self.boxes if each.name == name)

    def text(self, name: str) -> str:
        """What stands in a box: typed, or given where nothing is typed."""
        return self.typed.fields.get(name, "") or dict(self.form.given).get(name, "")

    def texts(self) -> dict[str, str]:
        """What is typed, for the desk."""
        found = {name: text for name, text in self.typed.fields.items() if text}
        for each in self.form.fields:
            far, turned = found.pop(each.name + RADIUS, ""), found.pop(each.name + ANGLE, "")
            if far or turned:
                found[each.name] = f"{far}; {turned} {DEGREES}" if far and turned else far or f"; {turned}"
        return found

    def field_of(self, name: str) -> str:
        """The field of the form that a box belongs to."""
        return name.removesuffix(RADIUS).removesuffix(ANGLE)

    def after(self) -> str:
        """The box after the one in hand, from the last to the first."""
        names = [each.name for each in self.boxes]
        return names[(names.index(self.name) + 1) % len(names)]

    def needed(self) -> FormField | None:
        """The first box that must be filled and is not."""
        return next((each for each in self.boxes if each.needed and not self.text(each.name)), None)

    def was(self, name: str) -> str | None:
        """What an amended entry says here where that is changed, else None."""
        if not self.form.target or name == WHY:
            return None
        before = self.before.get(name, "")
        return None if before == self.typed.fields.get(name, "") else before

    @property
    def changed(self) -> bool:
        """Whether an amendment would change anything."""
        return any(self.was(each.name) is not None for each in self.boxes)

    def watched(self) -> tuple[str, ...]:
        """The fields that the stopwatch of the form fills: start and end, or one span of time."""
        names = tuple(self.form.timer.split("/")) if self.form.timer else ()
        known = {each.name for each in self.boxes}
        return names if known.issuperset(names) else ()

    def copy(self) -> EntryTyped:
        """What is typed, for the worker."""
        return EntryTyped(dict(self.typed.fields), dict(self.typed.watch))


def minus_in(box: FormField) -> bool:
    """Whether a number here can be below zero: a level above the reference, an elevation, a cold day."""
    if box.plausible is not None and box.plausible[0].startswith("-"):
        return True
    below = ("level", "elevation", "piezometric", "temperature", "offset")
    return any(part in box.name for part in below) and box.name != "plan_offset"
