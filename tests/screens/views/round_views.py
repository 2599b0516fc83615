"""Ways to a round of soundings in every state that it can be in, for pictures and for the test of fit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey

SHAFT: Final = "P2-3"
FIRM: Final = "32' 0\""
EIGHTHS: Final = {
    "C": 2, "R1": 4, "R2": 7, "R3": 10, "R4": 13, "R5": 3, "R6": 1, "R7": 2, "R8": 3,
}  # fmt: skip
ROUND: Final = {
    "C": ("31' 11 1/4\"", "31' 11 1/2\""),
    "R1": ("31' 11\"", "31' 11 1/2\""),
    "R2": ("31' 10 1/2\"", "31' 11 3/8\""),
}


def depth(eighths: int) -> str:
    """First contact so many eighths of an inch above 32 feet."""
    whole, part = divmod(96 - eighths, 8)
    return f"31' {whole} {part}/8\"".replace("2/8", "1/4").replace("4/8", "1/2").replace("6/8", "3/4")


def texts(eighths: int) -> dict[str, str]:
    first = depth(eighths).replace(" 0/8", "")
    return {"first_contact": first, "firm": FIRM, "unit": "ft-in"}


def open_round(on: Journey, points: dict[str, dict[str, str]], places: dict[str, dict[str, str]]) -> None:
    """The round screen with these points on disk."""
    from fieldapp.ui import asks_round

    on.session.person = "Inspector A"
    typed = asks_round.RoundTyped(2, points, {}, "2026-05-22T17:40:00-06:00", places)
    done: list[object] = []
    on.session.ask(lambda place: asks_round.keep_round(place, SHAFT, typed), done.append, done.append)
    on.wait()
    on.walk.go("shaft", shaft=SHAFT, stage="Base")
    on.wait()
    on.walk.go("round", shaft=SHAFT)
    on.wait(hops=3)


def round_all(on: Journey) -> None:
    open_round(on, {label: texts(each) for label, each in EIGHTHS.items()}, {})


def round_some(on: Journey) -> None:
    open_round(on, {label: texts(EIGHTHS[label]) for label in ("C", "R1", "R2", "R3", "R4")}, {})


def round_compare(on: Journey) -> None:
    round_some(on)
    on.tap(on.middle.tools.button("compare"))
    on.wait(hops=3)


def round_move(on: Journey) -> None:
    round_some(on)
    on.tap(on.middle.tools.button("move"))
    plan = on.middle.plan
    on.reach(plan)
    on.hand.tap_at(*plan.to_window(*plan.place((-0.3, -0.55))))
    on.wait()


def round_add(on: Journey) -> None:
    round_some(on)
    on.tap(on.middle.tools.button("add"))


def round_tape(on: Journey) -> None:
    round_some(on)
    on.tap(on.middle.tools.button("tape"))


def round_first_only(on: Journey) -> None:
    open_round(
        on, {label: {"first_contact": depth(each), "unit": "ft-in"} for label, each in EIGHTHS.items()}, {}
    )


def round_no_reading(on: Journey) -> None:
    points = {label: texts(each) for label, each in EIGHTHS.items()}
    points["R3"] = {"no_reading": "cage in the way"}
    open_round(on, points, {})
    on.screen.hand.choose("R3")
    on.wait()


def round_many(on: Journey) -> None:
    places = {f"A{k + 1}": {"r": str(13 + k % 3 * 10), "angle": str(k * 360 // 16 + 11)} for k in range(16)}
    points = {label: texts(each) for label, each in EIGHTHS.items()}
    points |= {label: texts(1 + k) for k, label in enumerate(places)}
    open_round(on, points, places)


def first_round(on: Journey) -> str:
    """The entry of the round that is recorded."""
    from fieldapp.record.cleaning import SoundingRound

    found: list[str] = []
    on.session.ask(lambda place: place.shaft(SHAFT).of(SoundingRound)[0].id, found.append, print)
    on.wait()
    return found[0]


def amend_round(on: Journey) -> None:
    on.session.person = "Inspector A"
    entry = first_round(on)
    on.walk.go("shaft", shaft=SHAFT, stage="Base")
    on.wait()
    on.walk.go("round", shaft=SHAFT, amend=entry)
    on.wait(hops=3)


def round_amend(on: Journey) -> None:
    amend_round(on)
    on.screen.hand.choose("R2")
    on.wait()
    on.tap_next()


def round_amend_why(on: Journey) -> None:
    from fieldapp.ui.words.tongue import tr

    amend_round(on)
    on.screen.hand.choose("R2")
    on.wait()
    on.tap_second()
    on.tap_text(tr("cage in the way"))
    on.tap_next()


def round_begun(on: Journey) -> None:
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft=SHAFT, stage="Base")
    on.wait()
    on.walk.go("round", shaft=SHAFT)
    on.wait()


def round_half(on: Journey) -> None:
    from tests.screens.journey import depth_keys

    round_begun(on)
    for label, depths in ROUND.items():
        if label in on.screen.hand.typing.typed.points:
            continue  # read before, by an earlier view of the same project
        assert on.screen.hand.typing.label == label, (
            label,
            on.screen.hand.typing,
            on.texts(),
            on.strip.next_text,
        )
        for depth in depths:
            on.keys(*depth_keys(depth))
            on.tap_next()
    if not on.middle.fields.first:
        on.keys(*depth_keys("31' 10\""))


def round_reasons(on: Journey) -> None:
    round_half(on)
    on.tap_second()


def round_refused(on: Journey) -> None:
    from tests.screens.journey import depth_keys

    round_half(on)
    on.tap_next()
    on.keys(*depth_keys("31' 9\""))
    on.tap_next()


def round_metres(on: Journey) -> None:
    on.session.person = "Inspector C"
    on.walk.go("round", shaft="B3")
    on.wait()
    on.keys("1", "7", "mark", "9", "6")
    on.tap_next()
    on.keys("1", "7", "mark", "9", "8")
    on.tap_next()


ROUND_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        round_begun, round_half, round_reasons, round_refused, round_all, round_some, round_compare,
        round_move, round_add, round_tape, round_first_only, round_no_reading, round_many, round_amend,
        round_amend_why,
    )
}  # fmt: skip

ROUND_VIEWS_METRES: Final[dict[str, Callable[[Journey], None]]] = {"round_metres": round_metres}
"""On the metric sample project."""
