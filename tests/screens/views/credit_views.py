"""Views of the base credit: the forecast to decide on, the form, what was decided."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from tests.screens.views.deciding import decide_at, names

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey


def credit(on: Journey) -> None:
    decide_at(on, "credit", names().SOFT, names().DESIGNER)


def credit_on(on: Journey) -> None:
    credit(on)
    on.hand.tap(on.middle.pages.keys.children[0])
    on.wait()


def credit_foot(on: Journey) -> None:
    credit(on)
    on.middle.pages.scroller.scroll_y = 0.0
    on.hand.settle()


def credit_reduced_base(on: Journey) -> None:
    on.session.person = names().DESIGNER
    names().go(on, "credit", shaft="P2-1")


def credit_form(on: Journey) -> None:
    credit(on)
    on.tap_next()


def credit_number(on: Journey) -> None:
    credit_form(on)
    on.tap(on.screen.form.choices.rows["reduced credit"])
    for code in ("0", "mark", "4"):
        on.reach(on.screen.form.keypad.key(code))
        on.hand.tap(on.screen.form.keypad.key(code))
    on.wait()


def credit_asked(on: Journey) -> None:
    credit_form(on)
    on.tap(on.screen.form.choices.rows["full credit"])
    on.screen.form.why.field.typing.text = "By the load test."
    names().hold(on, on.strip.next_button)
    names().unlock(on)


def credit_decided(on: Journey) -> None:
    credit_asked(on)
    on.tap(on.middle.foot.question.ids.yes)


def credit_unread(on: Journey) -> None:
    decide_at(on, "credit", names().SANDY, names().DESIGNER)


CREDIT_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        credit, credit_on, credit_foot, credit_reduced_base, credit_form, credit_number, credit_asked,
        credit_decided, credit_unread,
    )
}  # fmt: skip
