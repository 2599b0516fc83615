"""What is read before a log is signed: what is not met, what is not shown, what is met, in this order."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldapp.ui.screens.signoff_middle import GroupHead, Stack
from fieldapp.ui.screens.signoff_parts import shown
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.words import signoff as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.decisions.evidence import ReadFirst


def read_first(found: ReadFirst) -> Stack:
    """Every finding as a row, in groups with their number; what is not asked is named at the end."""
    groups = ((words.NOT_MET, found.not_met), (words.NOT_SHOWN, found.not_shown), (words.MET, found.met))
    rows = Stack(spacing=0)
    for counted, group in groups:
        if group:
            rows.add_widget(GroupHead(text=tr(counted, count=len(group)), strong=True))
        for each in group:
            rows.add_widget(shown(each).block())
    if found.not_asked:
        names = ", ".join(tr(each) for each in found.not_asked)
        rows.add_widget(Caption(text=tr(words.NOT_ASKED, names=names), padding=(0, 12, 0, 0)))
    return rows
