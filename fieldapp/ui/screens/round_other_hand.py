"""What the other buttons of a round do: the tape, an earlier round beside it, why it is changed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from fieldapp.ui import asks_round as asks
from fieldapp.ui.round_typing import DEPTHS
from fieldapp.ui.screens.round_middle import BESIDE, WHY, RoundMiddle
from fieldapp.ui.screens.round_middle import TAPE as TAPE_PART
from fieldapp.ui.screens.round_tools import ADD, COMPARE, MOVE, TAPE
from fieldapp.ui.session import Session
from fieldapp.ui.widgets.keypad_state import kept_in, mode_of
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.ui.screens.round_hand import RoundHand

PARTS: Final = {TAPE: TAPE_PART, COMPARE: BESIDE}


class OtherHand:
    """What is neither a depth nor a place; ``tools`` are the buttons that there are now."""

    def __init__(self, hand: RoundHand, session: Session, middle: RoundMiddle) -> None:
        self._hand, self._session, self._middle = hand, session, middle

    def tools(self) -> dict[str, str]:
        """Name and word of each button."""
        page, typing = self._hand.page, self._hand.typing
        if page is None or typing is None:
            return {}
        if self._hand.place.in_hand is not None:
            return self._hand.place.tools()
        tools = {MOVE: tr(words.MOVE, label=typing.label)} if typing.label else {}
        tools |= {ADD: tr(words.ADD), TAPE: tr(words.TAPE, unit=typing.unit)}
        return tools | ({COMPARE: tr(words.COMPARE)} if page.earlier else {})

    def use(self, tool: str) -> None:
        """One of the other things to do."""
        page, typing, middle = self._hand.page, self._hand.typing, self._middle
        if page is None or typing is None or not self._hand.free:
            return
        if tool in {MOVE, ADD} or self._hand.place.in_hand is not None:
            self._hand.keep()
            middle.close_part()
            self._hand.place.use(tool)
            return
        middle.tape.show(page.form.units, typing.unit)
        middle.part = PARTS[tool]
        if tool == COMPARE and page.earlier:
            self.compare(page.earlier[0].entry)
        self._hand.show_next()

    def compare(self, entry: str) -> None:
        """Draw an earlier round beside this one."""
        page, typing = self._hand.page, self._hand.typing
        if page is None or typing is None:
            return
        typed = typing.typed
        self._session.ask(
            lambda place: asks.beside(place, page, typed, entry),
            self._middle.beside_panel.show,
            self._hand.refused,
        )

    def take_unit(self, unit: str) -> None:
        """The tape is marked in another unit: so are the readings from here on."""
        typing = self._hand.typing
        if typing is None:
            return
        mode = mode_of(unit)
        kept = {name: kept_in(mode, typing.reading.get(name, "")) for name in DEPTHS}
        typing.typed = typing.take_unit(unit, kept)
        self._hand.keep()
        self._middle.close_part()
        self._hand.show_point()

    def ask_why(self) -> None:
        """Ask why a round is changed."""
        typing = self._hand.typing
        if typing is not None:
            self._middle.why.show(typing.typed.why)
            self._middle.part = WHY
            self._hand.show_next()

    def take_why(self, text: str) -> None:
        """Why a round is changed."""
        typing = self._hand.typing
        if typing is not None:
            typing.typed.why = text
            self._middle.why.show(text)
            self._hand.keep()
            self._hand.show_next()
