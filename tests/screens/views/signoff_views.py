"""Views of the sign-off: read, drawn, signed with the inspector's key, refused."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tests.screens.views.deciding import decide_at, names
from tests.screens.views.sites import occupy

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey


def signoff(on: Journey) -> None:
    decide_at(on, "signoff", names().SANDY, names().INSPECTOR)


def _to_the_end(on: Journey) -> None:
    for _ in range(30):
        if on.screen.reading.done:
            break
        on.tap_next()
        on.hand.until(lambda: not on.screen.reading._look.is_triggered)
    on.hand.settle()


def signoff_read(on: Journey) -> None:
    signoff(on)
    _to_the_end(on)


def signoff_drawn(on: Journey) -> None:
    signoff_read(on)
    names().draw(on, on.screen.signature.pad)


def signoff_key(on: Journey) -> None:
    signoff_drawn(on)
    names().hold(on, on.strip.next_button)


def signoff_asked(on: Journey) -> None:
    signoff_key(on)
    names().unlock(on)
    on.hand.until(lambda: on.middle.foot.question is not None, 60)


def signoff_at_work(on: Journey) -> None:
    signoff_asked(on)
    screen = on.screen
    occupy(on, on.session.jobs, lambda: setattr(screen, "again", lambda: None))  # it was left meanwhile
    on.hand.tap(on.middle.foot.question.ids.yes)
    on.hand.until(lambda: on.middle.progress.running)


def signoff_done(on: Journey) -> None:
    signoff_asked(on)
    on.tap(on.middle.foot.question.ids.yes)
    names().rested(on)


def signoff_refused(on: Journey) -> None:
    decide_at(on, "signoff", names().SANDY, names().ENGINEER)
    _to_the_end(on)
    names().draw(on, on.screen.signature.pad)
    names().hold(on, on.strip.next_button)
    names().unlock(on)
    names().rested(on)


def signoff_clean(on: Journey) -> None:
    decide_at(on, "signoff", names().CLEAN, names().INSPECTOR)


SIGNOFF_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        signoff, signoff_read, signoff_drawn, signoff_key, signoff_asked, signoff_at_work, signoff_done,
        signoff_refused, signoff_clean,
    )
}  # fmt: skip
