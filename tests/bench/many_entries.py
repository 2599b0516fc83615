"""A large project out of python calls: entries sealed into their chains, for benches of size."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import Final
from uuid import UUID

from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.column import HeadReading
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.hole import Note
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.reading import Reading
from fieldapp.record.words import RoundWhy
from tests.support.journals import ENGINEER, INSPECTOR, Journal, accepted, at

DEVICES: Final = ("tablet 1", "tablet 2", "tablet 3", "tablet 4")
POINTS: Final = tuple(
    SoundingPoint(
        name,
        Reading(r, "in"),
        Reading(angle, "deg"),
        Reading("29' 11 1/2\"", "ft-in"),
        Reading("30' 0\"", "ft-in"),
    )
    for name, r, angle in (
        ("C", "0", "0"),
        ("N", "30", "0"),
        ("E", "30", "90"),
        ("S", "30", "180"),
        ("W", "30", "270"),
    )
)


def entries(count: int, shafts: int = 500) -> Iterator[Entry]:
    """A project of many shafts on several devices: mostly head readings, some notes, some rounds."""
    story = Journal(accepted())
    setup, plan = story.set_up().values, story.plan().values
    heads = {each: ChainHead(each) for each in ("office", *DEVICES)}
    moment, made = at("07:00"), 0

    def one(device: str, shaft: str | None, values: Values, author: str) -> Entry:
        nonlocal made, moment
        made += 1
        moment += timedelta(seconds=1)
        name = str(UUID(int=(0x019E1D463180 << 80) | (7 << 76) | (2 << 62) | made))
        about = None if values.KIND in PROJECT_KINDS else shaft
        draft = Draft(name, "larkwater", about, values, moment, moment, author)
        entry = seal(draft, heads[device], made)
        heads[device] = ChainHead(device, entry.seq, entry.hash)
        return entry

    yield one("office", None, setup, ENGINEER)
    for number in range(shafts):
        yield one("office", f"Q{number}", plan, ENGINEER)
    rounds: dict[str, int] = {}
    while made < count:
        shaft = f"Q{made % shafts}"
        values: Values = HeadReading(Reading(f"{made % 9 + 1}.{made % 100:02}", "ft"))
        if made % 10 == 0:
            values = Note("nothing else was seen, the crew waits for the crane")
        elif made % 10 == 1:
            rounds[shaft] = rounds.get(shaft, 0) + 1
            values = SoundingRound(rounds[shaft], RoundWhy.OTHER, "tape 1", POINTS)
        yield one(DEVICES[made % len(DEVICES)], shaft, values, INSPECTOR)
