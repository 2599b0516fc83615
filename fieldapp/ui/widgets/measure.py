"""How wide and how high a text stands in Roboto, before it is drawn."""

from __future__ import annotations

from functools import lru_cache

from kivy.core.text import Label as CoreLabel


@lru_cache(maxsize=2048)
def line_width(text: str, font_px: float, bold: bool = False) -> float:
    """Width in pixels of the widest line of a text that is not wrapped."""
    label = CoreLabel(font_size=font_px, bold=bold)
    return max((float(label.get_extents(line)[0]) for line in text.split("\n")), default=0.0)


@lru_cache(maxsize=2048)
def word_width(text: str, font_px: float, bold: bool = False) -> float:
    """Width in pixels of the widest word: below it a wrapped text would be cut inside a word."""
    return max((line_width(word, font_px, bold) for word in text.split()), default=0.0)


@lru_cache(maxsize=2048)
def wrapped_height(text: str, font_px: float, bold: bool, width: float) -> float:
    """Height in pixels of a text wrapped to a width."""
    label = CoreLabel(text=text, font_size=font_px, bold=bold, text_size=(width, None))
    label.refresh()
    return float(label.size[1])
