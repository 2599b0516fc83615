"""Views of the board, of who holds the tablet, and of the screen that is left when the program stopped."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey


def board(on: Journey) -> None:
    del on


def board_all(on: Journey) -> None:
    from fieldapp.ui.words import board as words
    from fieldapp.ui.words.tongue import tr

    on.tap_text(tr(words.ALL, count="").strip())


def board_more(on: Journey) -> None:
    on.tap(on.middle.foot.more_button)


def board_found(on: Journey) -> None:
    on.middle.rows.find.typing.text = "p2"
    on.wait()


def board_none_found(on: Journey) -> None:
    on.middle.rows.find.typing.text = "q9"
    on.wait()


def person(on: Journey) -> None:
    on.tap(on.middle.ids.who)


def person_held(on: Journey) -> None:
    on.session.person = "Inspector A"
    on.walk.go("board")
    on.wait()


def stopped(on: Journey) -> None:
    on.walk.stop_here("basenote-stopped-20260522-180200.txt")
    on.wait()


BOARD_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (board, board_all, board_more, board_found, board_none_found, person, person_held, stopped)
}
