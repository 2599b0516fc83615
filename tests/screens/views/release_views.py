"""Views of the release: given, held, withdrawn, lapsed, over its time, refused."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

from tests.screens.views.deciding import decide_at, names

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey


def release(on: Journey) -> None:
    decide_at(on, "release", names().SANDY, names().ENGINEER)


def release_clean(on: Journey) -> None:
    decide_at(on, "release", names().CLEAN, names().ENGINEER)


def release_foot(on: Journey) -> None:
    release(on)
    on.middle.pages.scroller.scroll_y = 0.0
    on.hand.settle()


def release_row(on: Journey) -> None:
    release(on)
    on.tap(on.screen.table.row("Base"))


def release_until(on: Journey) -> None:
    release(on)
    on.tap(on.screen.form.box)


def release_over(on: Journey) -> None:
    release_until(on)
    on.screen.form.moment.keypad.text = "11:15"
    on.hand.pump(4)
    on.screen.form.close()
    on.hand.settle()


def release_no_reason(on: Journey) -> None:
    release(on)
    on.tap_next()


def release_hold_why(on: Journey) -> None:
    release(on)
    on.tap_second()


def release_asked(on: Journey) -> None:
    release(on)
    on.screen.form.reason.field.typing.text = "Sounded by hand, crew stands by."
    on.screen.form.conditions.field.typing.text = "Tremie sealed. Sound again before the first charge."
    names().hold(on, on.strip.next_button)
    names().unlock(on)


def release_given(on: Journey) -> None:
    release_asked(on)
    on.tap(on.middle.foot.question.ids.yes)


def hold_back(on: Journey) -> None:
    """Hold the concrete with a reason, up to where the key is asked for."""
    release(on)
    on.screen.form.reason.field.typing.text = "Exchange the fluid first."
    on.wait()  # the strip says another thing now
    on.tap_second()


def release_held(on: Journey) -> None:
    hold_back(on)
    names().unlock(on)


def release_withdrawn(on: Journey) -> None:
    release_given(on)
    on.screen.form.reason.field.typing.text = "The pump failed."
    on.tap_second()


def release_lapsed(on: Journey) -> None:
    from fieldapp.desk.inspector import Saying, record_entry
    from fieldapp.record.cleaning import SoundingRound
    from fieldapp.record.reading import Reading

    release_clean(on)
    names().hold(on, on.strip.next_button)
    names().unlock(on)
    if on.middle.foot.question is not None:
        on.tap(on.middle.foot.question.ids.yes)
    shaft = names().CLEAN[0]

    def dirty(place: Any) -> Any:
        values = place.shaft(shaft).last(SoundingRound).values
        layer: dict[str, Any] = {"first_contact": None, "firm": None, "thickness": Reading("3", "in")}
        points = tuple(replace(each, **layer) for each in values.points)
        soft = replace(values, number=values.number + 1, points=points)
        return record_entry(place, Saying(shaft, soft, names().INSPECTOR))

    on.session.ask(dirty, on.session.recorded, print)
    on.wait()
    on.screen.again()
    on.wait()


def release_past(on: Journey) -> None:
    """The time of a release is over, and concrete has not started."""
    from datetime import timedelta

    release_given(on)
    on.session.clock.moment += timedelta(hours=3)
    on.screen.again()
    on.wait()


def release_refused(on: Journey) -> None:
    decide_at(on, "release", names().CLEAN, names().DESIGNER)
    names().hold(on, on.strip.next_button)
    names().unlock(on)


def release_concrete_in(on: Journey) -> None:
    on.session.person = names().ENGINEER
    names().go(on, "release", shaft="P1-1")


RELEASE_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        release, release_clean, release_foot, release_row, release_until, release_over, release_no_reason,
        release_hold_why, release_asked, release_given, release_held, release_withdrawn, release_lapsed,
        release_past, release_refused, release_concrete_in,
    )
}  # fmt: skip
