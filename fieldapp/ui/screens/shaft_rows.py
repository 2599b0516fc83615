"""What the middle of a shaft's screen is made of, stage by stage: findings, figures, the last entries."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Final

from kivy.uix.widget import Widget

from fieldapp.ui import entry_rows
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.widgets.entry_block import EntryBlock
from fieldapp.ui.widgets.finding_block import FindingBlock
from fieldapp.ui.widgets.line_chart import Dot, LineChart
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.words import entry as entry_words
from fieldapp.ui.words import shaft as words
from fieldapp.ui.words.tongue import tr, tr_count

if TYPE_CHECKING:
    from fieldapp.criteria.finding import Finding
    from fieldapp.desk.shaft.head_line import HeadLine
    from fieldapp.desk.shaft.timeline import TimelineEntry
    from fieldapp.desk.shaft.view import StageView
    from fieldapp.desk.worth.passes import PassesView, PassView

_ORDER: Final = ("not met", "not shown", "met")
_NOT_ASKED: Final = "not asked"


class NotAsked(Caption):
    """The requirements of a stage that the acceptance set does not ask for, in one line."""


class ListHead(Caption):
    """The caption above a list in the middle; ``leads``: it stays on one page with what follows."""

    leads = True


def finding_rows(stage: StageView) -> list[Widget]:
    """What is out of limits or not shown first; what is not asked in one line."""
    asked = [each for each in stage.findings if str(each.outcome) != _NOT_ASKED]
    asked.sort(key=lambda each: _ORDER.index(str(each.outcome)))
    rows: list[Widget] = [_finding(each) for each in asked]
    rest = ", ".join(tr(each.requirement) for each in stage.findings if str(each.outcome) == _NOT_ASKED)
    if rest:
        rows.append(NotAsked(text=tr(words.NOT_ASKED, names=rest)))
    return rows


def _finding(found: Finding) -> FindingBlock:
    return FindingBlock(
        shown=str(found.outcome),
        title=tr(found.requirement),
        says=tr(found.says),
        asked=tr(found.limit),
        when=day_and_time(found.when) if found.when else "",
        source=tr(words.SOURCE, source=tr(found.source)) if found.source else "",
    )


def head_rows(heads: HeadLine) -> Iterator[Widget]:
    """The head over time against the head that is asked for."""
    yield ListHead(text=tr(entry_words.HEAD_OVER_TIME))
    if heads.points:
        chart = LineChart(
            level=heads.level, level_text=tr(heads.level_text), unit=heads.unit, gap_s=heads.gap_s
        )
        chart.dots = [Dot(each.at, each.head, each.outcome) for each in heads.points]
        yield chart
    else:
        yield Notice(shown="not shown", text=tr(entry_words.NO_HEAD_YET))
    if heads.unknown:
        yield Notice(shown="not shown", text=tr_count(*entry_words.HEADS_UNKNOWN, heads.unknown))


def pass_rows(view: PassesView) -> Iterator[Widget]:
    """Every pass with the depths before and after, and what the next one is worth."""
    if not view.passes:
        yield Notice(shown="not shown", text=tr(words.NO_PASS))
    else:
        yield FindingBlock(shown=view.worth.outcome, title=tr(words.NEXT_PASS), says=tr(view.worth.says))
    for each in view.passes:
        yield FindingBlock(
            shown="" if each.gained else "not shown",
            title=tr(words.PASS, number=each.number, method=tr(each.method)),
            says="\n".join(text for text in (_depths(each), each.came_up) if text),
            when=day_and_time(each.ended_at),
        )


def _depths(made: PassView) -> str:
    if not made.before or not made.after:
        return tr(words.PASS_UNREAD)
    template = words.PASS_DEEPER if made.gained else words.PASS_DEPTHS
    return tr(template, before=made.before, after=made.after, gained=made.gained)


def entry_row(entry: TimelineEntry, on_tap: Callable[[str], None]) -> EntryBlock:
    """One entry; a tap calls ``on_tap`` with its id."""
    marks, shown = entry_rows.marks_of(entry)
    row = EntryBlock(
        entry=entry.id,
        title=entry_rows.title_of(entry),
        says=entry_rows.summary_of(entry),
        when=entry_rows.when_of(entry),
        who=entry_rows.who_of(entry),
        marks=marks,
        shown=shown,
        struck=entry.struck,
    )
    row.bind(on_release=lambda tapped: on_tap(tapped.entry))
    return row
