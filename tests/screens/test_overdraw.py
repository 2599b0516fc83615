"""What a frame costs a software renderer: how often each pixel is drawn, and how many frames there are."""

from __future__ import annotations

import time
from collections.abc import Iterator

import pytest
from kivy.base import EventLoop
from kivy.core.window import Window
from kivy.graphics import BorderImage, Color, Mesh, Rectangle
from kivy.graphics.instructions import Instruction, InstructionGroup
from kivy.graphics.transformation import Matrix
from kivy.uix.widget import Widget
from PIL import Image

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.text import Fitted, Words
from fieldapp.ui.widgets.theme import theme
from tests.screens import composed
from tests.screens.on_the_glass import shown

RED = (1, 0, 0, 1)
SCREENS = {
    "sounding": lambda: composed.sounding().root,
    "fluid": lambda: composed.fluid().root,
    "findings": composed.findings,
    "board": composed.board,
}


def every(group: InstructionGroup) -> Iterator[Instruction]:
    for each in group.children:
        yield each
        if isinstance(each, InstructionGroup):
            yield from every(each)


def drawn_px(each: Instruction) -> float:
    """Pixels that an instruction fills, seen or not; of a mesh, the box around it."""
    if isinstance(each, Rectangle | BorderImage):
        return max(0.0, each.size[0]) * max(0.0, each.size[1])
    if isinstance(each, Mesh) and each.mode == "triangle_fan" and each.vertices:
        xs, ys = each.vertices[0::4], each.vertices[1::4]
        return (max(xs) - min(xs)) * (max(ys) - min(ys))
    return 0.0


@pytest.mark.parametrize("scheme", ["noon", "night"])
@pytest.mark.parametrize("name", SCREENS)
def test_a_screen_draws_less_than_the_window_once(hand, name, scheme):
    theme.scheme = scheme
    hand.show(SCREENS[name]())
    drawn = [drawn_px(each) for each in every(Window.canvas)]
    whole = Window.width * Window.height
    assert max(drawn) < whole / 6
    assert 0 < sum(drawn) < 0.75 * whole


@pytest.mark.long_walk  # its picture needs a window that no other test has used
def test_the_window_is_cleared_to_the_ground_of_the_scheme(hand, tmp_path):
    hand.show(composed.findings())
    for scheme in ("noon", "night"):
        theme.scheme = scheme
        hand.settle()
        picture = Image.open(hand.shot(tmp_path / f"{scheme}.png")).convert("RGB")
        most = max(picture.getcolors(1 << 24), key=lambda found: found[0])[1]
        assert most == tuple(round(255 * part) for part in theme.ground[:3])


@pytest.mark.long_walk  # its picture needs a window that no other test has used
def test_a_box_shows_its_frame_and_its_fill_and_nothing_outside(hand, tmp_path):
    box = shown(hand, Boxed(size_hint=(None, None), size=(100, 60), edge=3, edge_color=RED))
    blue = (0, 0, 1, 1)
    box.fill_color = blue
    hand.settle()
    picture = Image.open(hand.shot(tmp_path / "box.png")).convert("RGB")
    left, low = (round(each) for each in box.to_window(*box.pos))
    seen = {
        (x, y): picture.getpixel((left + x, picture.height - 1 - low - y))
        for x in (-1, 0, 2, 3, 50, 96, 97, 99, 100)
        for y in (-1, 0, 2, 3, 30, 56, 57, 59, 60)
    }
    for (x, y), colour in seen.items():
        inside = 3 <= x < 97 and 3 <= y < 57
        framed = 0 <= x < 100 and 0 <= y < 60 and not inside
        assert (colour == (0, 0, 255)) == inside, (x, y)
        assert (colour == (255, 0, 0)) == framed, (x, y)


@pytest.mark.parametrize("halign", ["left", "center", "right"])
@pytest.mark.parametrize("kind", [Words, Fitted])
@pytest.mark.parametrize("text", ["Wj", "not shown, one side only:\nWAVE", "long words that wrap " * 6])
def test_all_ink_of_a_text_lies_in_the_part_that_is_drawn(hand, kind, halign, text):
    label = shown(hand, kind(text=text, halign=halign, padding=(14, 9, 5, 20), bold=True))
    hand.settle()
    wide, high = label.texture.size
    x, y, across, upright = label.ink_box
    shades = Image.frombytes("RGBA", (wide, high), label.texture.pixels).getchannel("A")
    ink = shades.getbbox()
    assert ink is not None
    assert x <= ink[0] and ink[2] <= x + across
    rows = (ink[1], ink[3]) if _first_row_is_the_lowest(label) else (high - ink[3], high - ink[1])
    assert y <= rows[0] and rows[1] <= y + upright
    assert across * upright < wide * high


def _first_row_is_the_lowest(label: Fitted) -> bool:
    return label.texture.tex_coords[1] < label.texture.tex_coords[5]


def long_page(hand) -> Pages:
    page = Pages()
    for _ in range(6):
        row = Widget(size_hint_y=None, height=200)
        with row.canvas:
            Color(rgba=RED)
            ground = Rectangle()
        row.bind(pos=lambda each, at, ground=ground: setattr(ground, "pos", at))
        row.bind(size=lambda each, size, ground=ground: setattr(ground, "size", size))
        page.add_widget(row)
    return shown(hand, page)


def reds(hand, path) -> tuple[int, int, int, int]:
    """The box of red pixels: left, low, right, high."""
    picture = Image.open(hand.shot(path)).convert("RGB")
    left, top, right, low = picture.point(lambda v: 255 * (v > 250)).getchannel("R").getbbox()
    return left, picture.height - low, right, picture.height - top


@pytest.mark.long_walk  # its picture needs a window that no other test has used
def test_what_scrolls_is_cut_to_its_page_also_when_a_keyboard_moves_it_up(hand, tmp_path):
    theme.scheme = "night"
    page = long_page(hand)
    view = page.scroller
    assert page.overflow
    page.scroller.scroll_y = 0.4
    hand.settle()
    left, low = (round(each) for each in view.to_window(*view.pos))
    right, high = left + round(view.width), low + round(view.height)
    assert reds(hand, tmp_path / "still.png") == (left, low, right, high)
    plain = Window.render_context["modelview_mat"]
    Window.render_context["modelview_mat"] = plain.multiply(Matrix().translate(0, 25, 0))
    try:
        assert reds(hand, tmp_path / "moved.png") == (left, low + 25, right, high + 25)
    finally:
        Window.render_context["modelview_mat"] = plain


def test_a_page_that_was_turned_is_at_rest_and_draws_no_more_frames(hand):
    page = long_page(hand)
    page.scroller.scroll_y = 0.2
    frames = []
    end = time.monotonic() + 0.3
    while time.monotonic() < end:
        EventLoop.idle()
    Window.bind(on_flip=lambda *_: frames.append(time.monotonic()))
    end = time.monotonic() + 1.2
    while time.monotonic() < end:
        EventLoop.idle()
    assert frames == []
