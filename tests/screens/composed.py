"""Three screens put together from the widgets alone, with the words that a screen would pass in."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from kivy.metrics import dp
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.action_row import ActionRow
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.base_plan import BasePlan
from fieldapp.ui.widgets.board_row import Board
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.caution import Caution
from fieldapp.ui.widgets.finding_row import FindingRow, ReasonRow
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.widgets.keypad import Keypad
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.plan_geometry import PlanCell, PlanPoint
from fieldapp.ui.widgets.press import ActButton, PlainButton
from fieldapp.ui.widgets.rail import Rail, Stage
from fieldapp.ui.widgets.reading_field import ReadingField
from fieldapp.ui.widgets.strip import Reason, Strip
from fieldapp.ui.widgets.text import Caption, Number

STAGES = [
    Stage("hole", "Hole", "met"),
    Stage("fluid", "Fluid", "met"),
    Stage("head", "Head", "met"),
    Stage("cleaning", "Cleaning", "met"),
    Stage("base", "Base", "due"),
    Stage("pictures", "Pictures, notes", "not asked"),
    Stage("sign", "Sign the log", "due"),
    Stage("release", "Release", "not shown"),
    Stage("credit", "Credit", "not asked"),
]


def sector(middle_deg: float, half_deg: float = 22.5, inner: float = 0.36) -> tuple[tuple[float, float], ...]:
    outer_arc = [middle_deg - half_deg + step * half_deg / 6 for step in range(13)]
    inner_arc = list(reversed(outer_arc))
    return tuple(
        (r * cos(pi * a / 180), r * sin(pi * a / 180))
        for r, arc in ((1.0, outer_arc), (inner, inner_arc))
        for a in arc
    )


def circle(radius: float) -> tuple[tuple[float, float], ...]:
    return tuple((radius * cos(pi * a / 24), radius * sin(pi * a / 24)) for a in range(48))


def at(angle_deg: float, r: float = 0.7) -> tuple[float, float]:
    return r * cos(pi * angle_deg / 180), r * sin(pi * angle_deg / 180)


CELLS = [
    PlanCell("2", sector(90), at(90), "0.3", 1),
    PlanCell("3", sector(45), at(45), "0.5", 2, over_limit=True),
    PlanCell("4", sector(0), at(0), "0.9", 3, over_limit=True),
    PlanCell("5", sector(-45), at(-45), "1.1", 4, over_limit=True),
    PlanCell("1", circle(0.36), (0.0, 0.0), "0.2", 0),
]
POINTS = [
    PlanPoint("6", at(-90)),
    PlanPoint("7", at(-135)),
    PlanPoint("8", at(180), no_reading=True),
    PlanPoint("9", at(135)),
]


@dataclass(slots=True)
class Composed:
    """The widgets of one composed screen that a test wants to reach."""

    root: ShaftFrame
    keypad: Keypad
    fields: list[ReadingField]
    strip: Strip
    rail: Rail
    plan: BasePlan | None = None


def _bar(right: str = "saved 14:32:07") -> Bar:
    return Bar(title="P2-3", subtitle="6 ft socket, mineral slurry", right=right)


def _buttons(plain: str, act: str) -> ActionRow:
    row = ActionRow()
    row.add_widget(PlainButton(text=plain, least="80dp", size_hint_x=0.27))
    row.add_widget(ActButton(text=act, size_hint_x=0.73))
    return row


def _figure(number: str, *captions: str) -> BoxLayout:
    box = BoxLayout(orientation="vertical", size_hint_y=None, pos_hint={"top": 1})
    box.bind(minimum_height=box.setter("height"))
    box.add_widget(Number(text=number))
    for caption in captions:
        box.add_widget(Caption(text=caption))
    return box


def _middle(*parts: Widget) -> Ground:
    middle = Ground(padding="16dp", spacing="12dp")
    for part in parts:
        middle.add_widget(part)
    return middle


def _columns(portrait: bool, left: list[Widget], right: list[Widget], right_share: float) -> Widget:
    if portrait:
        return _pages("8dp", [*left, *right])
    box = BoxLayout(spacing="16dp")
    box.add_widget(_pages("8dp", left))
    box.add_widget(_pages("8dp", right, size_hint_x=right_share))
    return box


def _pages(gap: str, parts: list[Widget], **kwargs: float) -> Pages:
    pages = Pages(gap=gap, **kwargs)
    for part in parts:
        pages.add_widget(part)
    return pages


def sounding(portrait: bool = False) -> Composed:
    """Like the sounding sketch: base plan, two readings in feet and inches, strip with a clock."""
    plan = BasePlan(cells=CELLS, points=POINTS, active="6", size_hint_y=None, height=dp(420))
    first = ReadingField(
        caption="first contact", unit="ft-in", value="61' 4 1/2\"", active=True, least="88dp"
    )
    firm = ReadingField(
        caption="firm",
        unit="ft-in",
        value="61' 5 1/4\"",
        limit="thickness 3/4 in",
        least="72dp",
        value_px="30sp",
    )
    keypad = Keypad(mode="feet-inch", text="61' 4 1/2\"", last="61' 3\"")
    keypad.bind(text=first.setter("value"))
    figures = BoxLayout(size_hint_y=None, spacing="16dp")
    figures.bind(minimum_height=figures.setter("height"))
    figures.add_widget(_figure("58 %", "of the base under 1/2 in", "assured 31 %, asked 50 %"))
    figures.add_widget(_figure("1.1 in", "largest", "asked at most 1 1/2"))
    left = [plan, figures]
    right = [Caption(text="round 2, after pass 4, point 6 of 9"), first, firm, keypad]
    strip = Strip(
        shown="not shown",
        word="not shown",
        reasons=[
            Reason("not shown", "4 of 9 points not read", "round"),
            Reason("not met", "Points 4, 5 over 1/2 in: clean the far side again?", "pass"),
            Reason("met", "Fluid: two sets passed 13:58", "fluid"),
            Reason("met", "Head 6.2 ft over artesian level", "head"),
        ],
        clock_caption="if clean now, sound again by",
        clock="15:05",
        next_text="Next: finish round 2",
    )
    rail = Rail(stages=STAGES, chosen="base")
    middle = _middle(_columns(portrait, left, right, 0.7), _buttons("No reading", "Save point 6, go to 7"))
    root = ShaftFrame(bar=_bar(), rail=rail, middle=middle, strip=strip)
    return Composed(root, keypad, [first, firm], strip, rail, plan)


def fluid(portrait: bool = False) -> Composed:
    """Like the fluid sketch: four readings with limits, decimal keypad, a finding, a caution."""
    fields = [
        ReadingField(caption="density", unit="pcf", value="68.5", limit="64.3 to 75", shown="met"),
        ReadingField(caption="funnel", unit="s for a quart, 62 F", value="41", limit="28 to 45", shown="met"),
        ReadingField(
            caption="sand", unit="% by volume", value="4.5", limit="at most 4", shown="not met", active=True
        ),
        ReadingField(caption="pH", limit="8 to 11"),
    ]
    keypad = Keypad(text="4.5", last="3.5")
    keypad.bind(text=fields[2].setter("value"))
    head = Caption(text="before concrete, set 2 in a row, sample 1 of 2: 60.5 ft, 1 ft above the base")
    left = [
        head,
        *fields,
        ReasonRow(shown="not met", text="Sand 4.5 %: over the limit. This set does not count."),
    ]
    right = [keypad, PlainButton(text="Funnel watch", least="80dp")]
    strip = Strip(
        shown="not met",
        word="rework",
        reasons=[
            Reason("not met", "Sand 4.5 % near the base, asked 4 %", "sand"),
            Reason("met", "Round 1: 71 % under 1/2 in, largest 0.9", "round"),
            Reason("not shown", "Sample at mid-height not tested", "sample"),
        ],
        clock_caption="at this sand content the base may reach 1/2 in by",
        clock="14:55",
        second_text="Hold, with reason",
        next_text="Hold down to release until 16:20",
        hold_next=True,
    )
    rail = Rail(stages=STAGES, chosen="fluid")
    caution = Caution(text="Keep people clear of the open hole while the sampler is lowered.")
    middle = _middle(
        _columns(portrait, left, right, 0.75),
        caution,
        _buttons("Not tested", "Save, go to sample 2 at 30 ft"),
    )
    return Composed(
        ShaftFrame(bar=_bar(), rail=rail, middle=middle, strip=strip), keypad, fields, strip, rail
    )


def findings() -> ShaftFrame:
    """Like the release sketch: requirements in a table."""
    rows = Pages()
    for shown, title, found, asked, when in (
        ("met", "Base", "71 % under 1/2 in, largest 0.9", "asked 50 %, 1 1/2", "14:12"),
        ("met", "Fluid", "two sets in a row", "all limits", "13:58"),
        ("not shown", "Hole", "time in slurry at the bottom not shown for 40 min", "asked 4 h", "override"),
        ("met", "Log", "signed by the inspector", "", "14:20"),
    ):
        rows.add_widget(FindingRow(shown=shown, title=title, found=found, asked=asked, when=when))
    caution = Caution(text="Concrete starts on the engineer's word, not this screen's.")
    strip = Strip(shown="not shown", word="not creditable", next_text="Release", next_able=False)
    rail = Rail(stages=STAGES, chosen="release")
    return ShaftFrame(bar=_bar("resident engineer"), rail=rail, middle=_middle(rows, caution), strip=strip)


BOARD = [
    ("P1-1", "met", "released", "Start concrete", "until 16:20", "0:48"),
    ("P2-3", "not shown", "not shown", "Finish round 2", "sound by", "15:05"),
    ("P1-4", "not met", "rework", "45 % under 1/2 in, asked 50 %", "fluid test due", "14:50"),
    ("P2-1", "not met", "reduced", "Designer: decide the credit", "since", "Tue"),
    ("P1-2", "not shown", "not creditable", "Firm depth missing at 5 points", "", ""),
    ("P2-5", "met", "clean", "Sign the log", "release asked", "14:10"),
    ("P1-3", "met", "clean", "Concrete in, filed", "", ""),
]


def board(repeat: int = 1) -> ShaftFrame:
    """Like the board sketch: one row a shaft."""
    names = ("shaft", "shown", "word", "next_text", "clock_caption", "clock")
    choice = BoxLayout(size_hint_y=None, spacing="12dp", size_hint_x=1)
    choice.bind(minimum_height=choice.setter("height"))
    choice.add_widget(PlainButton(text="Needs a hand 5", chosen=True))
    choice.add_widget(PlainButton(text="All 10"))
    middle = Ground(padding=("16dp", "12dp"))
    middle.add_widget(choice)
    middle.add_widget(Board(data=[dict(zip(names, row, strict=True)) for row in BOARD * repeat]))
    bar = Bar(title="Larkwater crossing", subtitle="10 shafts", right="inspector A   saved 14:32:07")
    return ShaftFrame(bar=bar, middle=middle)
