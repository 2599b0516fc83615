"""The sounding round in the app's window: walked to, begun with some points read, read back from disk."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldapp.record.cleaning import SoundingRound
from fieldapp.ui import asks_round
from tests.screens.journey import Journey, entries_of
from tests.screens.views.round_views import EIGHTHS, SHAFT, texts

FIVE = ("C", "R1", "R2", "R3", "R4")


def to_round(on: Journey, shaft: str = SHAFT, **given: str) -> None:
    on.walk.go("shaft", shaft=shaft, stage="Base")
    on.wait()
    on.walk.go("round", shaft=shaft, **given)
    on.wait(hops=3)


def begin_with(on: Journey, labels: tuple[str, ...], **changed: dict[str, str]) -> None:
    """The round with these points read at an earlier opening, as it is kept on disk."""
    points = {label: texts(EIGHTHS[label]) for label in labels} | changed
    typed = asks_round.RoundTyped(2, points, {}, "2026-05-22T17:40:00-06:00")
    on.session.ask(lambda place: asks_round.keep_round(place, SHAFT, typed), on.session.kept, pytest.fail)
    on.wait()
    to_round(on)


def read_back(folder: Path) -> SoundingRound:
    values = max(entries_of(folder), key=lambda each: each.stamp).draft.values
    assert isinstance(values, SoundingRound)
    return values
