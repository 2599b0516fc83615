"""What the inspector's hand does on the screens: boxes and keys, words to choose, rounds, samples, signing.

Nothing here asks the desk anything.
"""

from __future__ import annotations

import re
from datetime import datetime
from time import monotonic
from zoneinfo import ZoneInfo

from fieldapp.desk.entry_forms.form import Ask
from fieldapp.ui.entry_typing import NUMBERS
from fieldapp.ui.screens.setup_rows import SetupRow
from tests.screens.decision_journey import draw, hold, rested
from tests.screens.journey import Journey, SteppedClock

ZONE = ZoneInfo("America/Denver")
_KEYS = re.compile(r"\d/\d|.")
_NAMED = {".": ("mark",), '"': (), " ": (), ":": ()}
Depths = dict[str, tuple[str, str]]


def clock_at(day: str, time: str) -> SteppedClock:
    """The clock of a tablet in Denver, at this time."""
    return SteppedClock(datetime.fromisoformat(f"{day} {time}").replace(tzinfo=ZONE))


def work_until(clock: SteppedClock, time: str) -> None:
    """Work goes on until this time of the same day."""
    hour, minute = (int(each) for each in time.split(":"))
    present = clock.moment.astimezone(ZONE)
    wanted = present.replace(hour=hour, minute=minute, second=0)
    assert wanted > present, f"{time} is over: it is {present:%H:%M:%S}"
    clock.moment = wanted


def keys_of(text: str) -> list[str]:
    """The keys for a number as it is printed: ``30' 7/8"``, ``66.4``, ``1 1/4``, ``10:52``."""
    found: list[str] = []
    for each in _KEYS.findall(text):
        found += ("eighths", each) if "/" in each else _NAMED.get(each, (each,))
    return found


# --- rows, boxes, text ------------------------------------------------------------------------------------


def tap_row(on: Journey, title: str) -> None:
    """A row of the office whose title begins so."""
    on.tap(next(w for w in on.screen.walk() if isinstance(w, SetupRow) and w.title.startswith(title)))


def back(on: Journey) -> None:
    """The key in the bar."""
    sides = getattr(on.screen, "sides", on.screen)
    on.tap(sides.bar.ids.back)


def write(on: Journey, name: str, text: str) -> None:
    """Type text into a box by the keyboard of the tablet; what stood there goes."""
    take(on, name)
    field = on.middle.tools.text_field.typing
    field.text = ""
    field.insert_text(text)
    on.wait()


def secret(on: Journey, **texts: str) -> None:
    """Type into the fields of a passphrase."""
    for name, text in texts.items():
        on.screen.fields[name].typing.insert_text(text)
    on.wait()


def take(on: Journey, name: str) -> None:
    """Take a box in hand.  One to which the box before has led is not tapped again, as nobody would."""
    if not on.middle.fields[name].active:
        on.tap(on.middle.fields[name])


def fill(on: Journey, **texts: str) -> None:
    """Fill boxes of an entry, each by the tool that it brings; ``|`` parts several words of a list."""
    for name, text in texts.items():
        take(on, name)
        tools = on.middle.tools
        assert tools.box.name == name
        if tools.box.ask in NUMBERS:
            _number(on, text)
        elif tools.box.ask is Ask.MOMENT:
            if tools.watch.parent is tools:
                on.tap(tools.turn)
            on.keys(*keys_of(text), "next")
        elif tools.box.ask is Ask.TEXT:
            tools.text_field.typing.insert_text(text)
            on.wait()
            on.tap(tools.go_on)
        else:
            for each in text.split("|"):
                on.tap(tools.choices.rows[each])
            if tools.choices.several:
                on.tap(tools.go_on)


def _number(on: Journey, text: str) -> None:
    """A number that ends in its unit where that is not the one of the box, then the next key."""
    tools = on.middle.tools
    read, _, unit = text.rpartition(" ")
    if unit not in tools.box.units:
        read, unit = text, "ft-in" if "'" in text else tools.keypad.unit
    for _ in tools.box.units:
        if tools.keypad.unit == unit:
            break
        on.keys("unit")
    on.keys(*keys_of(read), "next")


# --- the strip and the way ------------------------------------------------------------------------------


def standing(on: Journey) -> str:
    return on.strip.word


def reasons(on: Journey) -> dict[str, str]:
    """What the strip says speaks against the base, by requirement."""
    return {each.subject: each.text for each in on.strip.reasons if isinstance(each.subject, str)}


def findings(on: Journey) -> dict[str, str]:
    """Every finding of the stages, as the screen of a shaft has it."""
    return {each.requirement: each.says for stage in on.screen.page.view.stages for each in stage.findings}


def record(on: Journey, by: str = "") -> None:
    """Press the next thing; ``by`` is who says that he holds the tablet, where that is asked."""
    on.tap_next()
    if by:
        assert on.walk.current == "person"
        on.tap_text(by)
    question = getattr(on.middle.ids.get("foot"), "question", None)
    assert question is None, question.text
    assert on.walk.current != "person"


def enter(on: Journey, stage: str, kind: str, /, **texts: str) -> None:
    """From a shaft: its stage, the kind of entry, its boxes, recorded; the way leads back to the shaft."""
    on.tap_stage(stage)
    on.tap_text(kind)
    fill(on, **texts)
    record(on)
    assert on.walk.current == "shaft", on.texts()


def time_a_pass(on: Journey, clock: SteppedClock, end: str) -> None:
    """Start the timer, work until a time, stop it; the timer ticks with the clock of the tablet."""
    watch = on.middle.tools.watch

    def ticks() -> float:
        return clock.moment.timestamp()

    watch.ticks = ticks
    on.tap(watch.ids.key)
    work_until(clock, end)
    on.tap(watch.ids.key)


def sound(on: Journey, depths: Depths) -> None:
    """Type the points of a round as the screen leads through them."""
    assert on.walk.current == "round"
    for _ in depths:
        first, firm = depths[on.screen.hand.typing.label]
        on.keys(*keys_of(first))
        on.tap_next()
        if firm:
            on.keys(*keys_of(firm))
        on.tap_next()


def sample(on: Journey, **texts: str) -> None:
    """Type one sample on the screen of a fluid test, and save it."""
    assert on.walk.current == "fluid"
    for name, text in texts.items():
        if on.screen.typing.field != name:
            on.tap(on.middle.fields[name])
        on.keys(*keys_of(text), "next")
    record(on)


# --- signing --------------------------------------------------------------------------------------------


def read_to_the_end(on: Journey) -> str:
    """Press the next thing until there is something to sign; gives what was to be read."""
    for _ in range(30):
        if on.screen.reading.done:
            break
        on.tap_next()
        end = monotonic() + 0.4
        on.hand.until(lambda end=end: on.screen.reading.done or monotonic() > end)
    assert on.screen.reading.done
    on.hand.settle()
    return on.texts()


def sign(on: Journey, passphrase: str) -> None:
    """Draw, hold, open the key; answer yes where it is asked whether to sign all the same."""
    draw(on, on.screen.signature.pad)
    hold(on, on.strip.next_button)
    assert on.walk.current == "unlock"
    on.screen.secret.typing.insert_text(passphrase)
    on.hand.pump(4)
    on.tap(on.middle.next)
    on.hand.until(lambda: on.middle.foot.question is not None or on.screen.made is not None, 60)
    if on.middle.foot.question is not None:
        on.tap(on.middle.foot.question.ids.yes)
    rested(on)
