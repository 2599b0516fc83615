"""How long a shaft log takes beside ReportLab on as many plain pages and figures; not collected.

Run ``python -m tests.bench.bench_log [ENTRIES]`` from the top, with ``OPENBLAS_NUM_THREADS=1``;
300 entries by default.  Asked for: at most twice the time of plain pages.  Plain pages hold the words of the
log, a paragraph for each of its lines, in the same fonts on as many pages, and as many figures with as many
plain lines and words in them; no tables, no rules, no record.  Times are of the processor, medians of some
runs that take turns; facts, which are no layout, are told beside them.  ``--profile`` profiles the log.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import sys
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import pypdfium2
from reportlab.graphics.shapes import Drawing, Group, Line, String, UserNode
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, PageBreak, Paragraph, SimpleDocTemplate

from fieldapp.desk.office import begin_project
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.column import HeadReading
from fieldapp.record.entry import Draft
from fieldapp.record.reading import Reading
from reports.base_plan import base_plan
from reports.charts import charts
from reports.facts import ShaftFacts
from reports.fonts import REGULAR, markup, register_fonts
from reports.quantities import shown_by
from reports.shaft_log import shaft_log
from reports.style import CELL, MARGIN_PT, page_size_pt
from reports.worth_section import worth_section
from tests.bench.peers import HEAD, Beside, in_turn

RUNS: Final = 5
ENTRIES: Final = 300
MOST_TIMES: Final = 2.0
SHAFT: Final = "P1-1"
SAMPLES: Final = Path("sample_logs/larkwater")


@dataclass(frozen=True)
class Content:
    """What the log holds, to be laid out plainly: lines of text by page, and lines and words by figure."""

    pages: tuple[tuple[str, ...], ...]
    figures: tuple[tuple[int, int], ...]


def busy_shaft(place: Workplace, count: int) -> None:
    """The sample shaft with head readings until it has so many entries."""
    add_logs(place, read_logs([SAMPLES / "project.log", SAMPLES / f"{SHAFT}.log"]))
    start, left = place.now(), count - len(place.shaft(SHAFT).entries)
    drafts = []
    for number in range(left):
        at = start + timedelta(minutes=number)
        values = HeadReading(Reading(f"{number % 9 + 1}.{number % 10}", "ft"))
        drafts.append(Draft(place.clock.new_id(), place.project_id, SHAFT, values, at, at, "Inspector A"))
    place.append(drafts)


def content_of(facts: ShaftFacts, pdf: bytes) -> Content:
    """The words of a log page by page, and how much is drawn in its figures."""
    document = pypdfium2.PdfDocument(pdf)
    pages = tuple(tuple(page.get_textpage().get_text_range().splitlines()) for page in document)
    shown = shown_by(facts.setup)
    story = [*base_plan(facts, shown), *worth_section(facts, shown), *charts(facts, shown)]
    figures = []
    for drawing in _drawings(story):
        leaves = list(_leaves(drawing.contents))
        texts = sum(isinstance(each, String) for each in leaves)
        figures.append((len(leaves) - texts, texts))
    return Content(pages, tuple(figures))


def _drawings(flowables: Iterable[Any]) -> Iterator[Drawing]:
    for each in flowables:
        if isinstance(each, Drawing):
            yield each
        elif isinstance(each, list | tuple):
            yield from _drawings(each)
        else:
            yield from _drawings(getattr(each, "_content", ()))
            yield from _drawings(getattr(each, "_cellvalues", ()))


def _leaves(shapes: Iterable[Any]) -> Iterator[Any]:
    for each in shapes:
        if isinstance(each, UserNode):  # an axis, say, which makes its lines and words when it is drawn
            yield from _leaves([each.provideNode()])
        elif isinstance(each, Group):
            yield from _leaves(each.contents)
        else:
            yield each


def plain_pages(facts: ShaftFacts, content: Content) -> bytes:
    """The same words and as many figures, laid out by ReportLab with nothing of ours."""
    register_fonts()
    out = BytesIO()
    size = page_size_pt(facts.setup.units)
    document = SimpleDocTemplate(out, pagesize=size, leftMargin=MARGIN_PT, rightMargin=MARGIN_PT, invariant=1)
    figures = [_plain_figure(*each) for each in content.figures]
    room_pt = size[1] - document.topMargin - document.bottomMargin - 12
    story: list[Flowable] = []
    for number, lines in enumerate(content.pages):
        drawn = figures[number :: len(content.pages)]
        left_pt = room_pt - sum(each.height for each in drawn)
        style = ParagraphStyle("plain", CELL, fontSize=3, leading=min(10.0, left_pt / len(lines)))
        story += [*(Paragraph(markup(each), style) for each in lines), *drawn, PageBreak()]
    document.build(story)
    return out.getvalue()


def _plain_figure(lines: int, texts: int) -> Drawing:
    drawing = Drawing(400, 60)
    for number in range(lines):
        drawing.add(Line(number % 400, 0, 400 - number % 400, 60))
    for number in range(texts):
        drawing.add(String(number % 400, number % 60, "12.5 ft", fontName=REGULAR, fontSize=7))
    return drawing


@dataclass(frozen=True)
class Logged:
    """The facts of a long log, what its paper holds, and the processor time of working the facts out [s]."""

    facts: ShaftFacts
    content: Content
    facts_s: float

    @classmethod
    def of(cls, count: int) -> Logged:
        with TemporaryDirectory() as folder:
            os.environ["XDG_CONFIG_HOME"] = str(Path(folder) / "home")
            begin_project(Path(folder) / "larkwater")
            with open_project(Path(folder) / "larkwater") as place:
                busy_shaft(place, count)
                began = time.process_time()
                facts = shaft_facts(place, SHAFT, place.now(), "bench")
                took_s = time.process_time() - began
        return cls(facts, content_of(facts, shaft_log(facts).pdf), took_s)

    def beside(self) -> Beside:
        times = in_turn(lambda: shaft_log(self.facts), lambda: plain_pages(self.facts, self.content), RUNS)
        what = f"shaft log, {len(self.content.pages)} pages laid out"
        return Beside(what, "ReportLab, as many plain pages", times, MOST_TIMES)


def main() -> None:
    """Measure, and say the ratio."""
    asked = [int(each) for each in sys.argv[1:] if each.isdigit()]
    say = sys.stdout.write
    logged = Logged.of(asked[0] if asked else ENTRIES)
    facts, content = logged.facts, logged.content
    plain = plain_pages(facts, content)
    lines, texts = (sum(each[kind] for each in content.figures) for kind in (0, 1))
    say(f"{len(facts.record.entries)} entries, {len(content.pages)} pages, {len(content.figures)} figures ")
    say(f"({lines} shapes, {texts} words); plain: {len(pypdfium2.PdfDocument(plain))} pages\n")
    say(f"  facts of the record, first  {1000 * logged.facts_s:.0f} ms of the processor\n")
    say(f"{HEAD}\n{logged.beside()}\n")
    if "--profile" in sys.argv:
        profile = cProfile.Profile()
        profile.runcall(shaft_log, facts)
        pstats.Stats(profile).sort_stats("tottime").print_stats(60)


if __name__ == "__main__":
    main()
