"""What touches mean while a point is moved or added: a place on the base, or its two numbers by the keys."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from fieldapp.ui.round_places import ANGLE, PlaceInHand, R, place_drawn, place_of, place_typed
from fieldapp.ui.screens.round_tools import ADD
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.ui.asks import Texts
    from fieldapp.ui.asks_round import RoundTyped
    from fieldapp.ui.screens.round_hand import RoundHand
    from fieldapp.ui.screens.round_middle import RoundMiddle
    from fieldapp.ui.screens.sides import Sides

TAKE_OUT: Final = "take out"


class PlaceHand:
    """The place in hand.  ``use`` a tool or tap the base to begin, ``put`` it on disk, or ``leave`` it."""

    def __init__(self, hand: RoundHand, middle: RoundMiddle, sides: Sides) -> None:
        self._hand, self._middle, self._sides = hand, middle, sides
        self.in_hand: PlaceInHand | None = None

    def leave(self) -> None:
        """Nothing is put anywhere."""
        self.in_hand = None
        self._middle.plan.ghost = None
        self._middle.plan.placing = False

    def use(self, tool: str) -> None:
        """Begin to move the point in hand, or to add one; take an added one out."""
        page, typing = self._hand.page, self._hand.typing
        assert page is not None
        assert typing is not None
        if tool == TAKE_OUT and self.in_hand is not None:
            label = self.in_hand.label
            self._hand.to_disk(typing.without(label), label, self._took_out)
        elif tool == ADD:
            now = self._hand.now
            suggested = now.next_place if now is not None else None
            self._begin_to_add({R: suggested.r, ANGLE: suggested.angle} if suggested else {R: "", ANGLE: ""})
        elif typing.label:
            place = typing.typed.places.get(typing.label) or place_of(
                page.form.point(typing.label), page.form
            )
            self.in_hand = PlaceInHand(typing.label, dict(place), adds=False)
            self._show()

    def tap(self, at: tuple[float, float]) -> None:
        """A place of the base was tapped."""
        page = self._hand.page
        if page is None or not self._hand.free:
            return
        texts = place_typed(at, page.form)
        if self.in_hand is None:
            self._hand.keep()
            self._middle.close_part()
            self._begin_to_add(texts)
        else:
            self.in_hand.texts = texts
            self._show()

    def typed(self, text: str) -> None:
        """A key was pressed."""
        assert self.in_hand is not None
        self.in_hand.texts[self.in_hand.field] = text
        self._say()
        self._draw()

    def go_to(self, name: str) -> None:
        """One of the two numbers was tapped."""
        assert self.in_hand is not None
        self.in_hand.field = name
        self._show()

    def put(self) -> None:
        """The point stands there, on disk."""
        typing, place = self._hand.typing, self.in_hand
        if typing is None or place is None:
            return

        def saved(typed: RoundTyped) -> None:
            typing.typed = typed
            typing.choose(place.label)
            self._middle.say("", "")

        self._hand.to_disk(typing.put(place.label, dict(place.texts)), place.label, saved)

    def show_next(self) -> None:
        """Put it here, or leave it."""
        place, strip, middle = self.in_hand, self._sides.strip, self._middle
        assert place is not None
        strip.next_text = tr(words.ADD_HERE if place.adds else words.MOVE_HERE, label=place.label)
        whole = middle.plan.ghost is not None
        strip.next_able = whole and not (middle.fields.refused or self._hand.saving)
        strip.second_text = tr(words.LEAVE_OUT if place.adds else words.LEAVE_PLACE)

    def tools(self) -> dict[str, str]:
        """What else can be done with the place in hand."""
        typing, place = self._hand.typing, self.in_hand
        if typing is None or place is None or place.adds or place.label in typing.proposed:
            return {}
        return {TAKE_OUT: tr(words.TAKE_OUT, label=place.label)}

    def _begin_to_add(self, texts: Texts) -> None:
        typing = self._hand.typing
        assert typing is not None
        self.in_hand = PlaceInHand(typing.free_label(), texts, adds=True)
        self._show()

    def _took_out(self, typed: RoundTyped) -> None:
        typing = self._hand.typing
        assert typing is not None
        typing.label, typing.typed = "", typed
        typing.choose(typing.next_open())
        self._middle.say("", "")

    def _show(self) -> None:
        assert self.in_hand is not None
        self._middle.show_place(self.in_hand.label, self.in_hand.field, self.in_hand.texts)
        self._middle.plan.placing = True
        self._say()
        self._draw()

    def _say(self) -> None:
        assert self.in_hand is not None
        template = words.PLACE_TO_ADD if self.in_hand.adds else words.NEW_PLACE
        self._middle.say("due", tr(template, label=self.in_hand.label))

    def _draw(self) -> None:
        page = self._hand.page
        assert page is not None
        assert self.in_hand is not None
        at = place_drawn(self.in_hand.texts, page.form)
        self._middle.plan.ghost = at if at is None or at[0] ** 2 + at[1] ** 2 <= 1 else None
        self._hand.show_next()
