"""What the walk through a shaft asks of the desk beside the page of the shaft; it runs on the worker."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from fieldapp.ui.asks import Moment, ShaftPage, shaft_page

if TYPE_CHECKING:
    from fieldapp.desk.shaft.head_line import HeadLine
    from fieldapp.desk.shaft.timeline import TimelineEntry
    from fieldapp.desk.workplace import Workplace
    from fieldapp.desk.worth.passes import PassesView

LAST_SHOWN: Final = 3
HEAD: Final = "Head"
CLEANING: Final = "Cleaning"


@dataclass(frozen=True, slots=True)
class StageMore:
    """What a stage shows beside its findings: its last entries, how many there are, figures."""

    last: tuple[TimelineEntry, ...]
    in_stage: int
    in_shaft: int
    heads: HeadLine | None = None
    passes: PassesView | None = None


@dataclass(frozen=True, slots=True)
class TimelinePage:
    """Every entry of a shaft, and the shaft as it is shown around them."""

    page: ShaftPage
    entries: tuple[TimelineEntry, ...]


def stage_more(place: Workplace, shaft: str, stage: str, at: Moment) -> StageMore:
    """What a stage shows beside its findings.  Raises UnknownShaft."""
    from fieldapp.desk.shaft.timeline import timeline

    everything = timeline(place, shaft)
    mine = [each for each in everything if each.stage == stage]
    counts = (tuple(mine[:LAST_SHOWN]), len(mine), len(everything))
    scheduled = place.shaft(shaft).scheduled is not None
    if stage == HEAD and scheduled:
        from fieldapp.desk.shaft.head_line import head_line

        return StageMore(*counts, heads=head_line(place, shaft, at))
    if stage == CLEANING and scheduled:
        from fieldapp.desk.worth.passes import passes_view

        return StageMore(*counts, passes=passes_view(place, shaft, at))
    return StageMore(*counts)


def timeline_page(place: Workplace, shaft: str, at: Moment) -> TimelinePage:
    """Every entry of a shaft, the newest first.  Raises UnknownShaft."""
    from fieldapp.desk.shaft.timeline import timeline

    return TimelinePage(shaft_page(place, shaft, at), timeline(place, shaft))
