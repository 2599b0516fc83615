"""How wide and how high a text stands in Roboto, before it is drawn."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from kivy.core.text import Label as CoreLabel

_UNITS: Final = (
    "%|in|ft|ft-in|mm|cm|m|day|h|min|s|s/qt|s/L|deg|degF|degC|\N{DEGREE SIGN}F|\N{DEGREE SIGN}C|pcf|lb/gal|"
    "kg/m3|g/cm3|psi|ksi|psf|ksf|MPa|kPa|bar|kip|kips|kN|MN|L|mL|qt|gal|ft3|yd3|m3|mg/L|in/h|mm/h|m/h|kB|MB"
)
_MONTHS: Final = "(?i:jan|ene|feb|mar|apr|abr|may|jun|jul|aug|ago|sep|oct|nov|dec|dic)"
_TOGETHER: Final = re.compile(
    rf"(?<=\d) (?=\d+/\d|(?:{_UNITS}|{_MONTHS})(?![\w/]))|(?<=\d') (?=\d+(?: \d+/\d+)?\")"
)
_HYPHENATED: Final = re.compile(r"(?<![\w/.-])(\d+)-(\d+/\d+)(?![\w/])")
_BREAKS: Final = re.compile("[ \n]")
_LONGEST_WORD: Final = 24


@lru_cache(maxsize=2048)
def held_together(text: str) -> str:
    """A text in which no line ends inside of ``50 %``, ``1 1/2``, ``31' 9"`` or ``18 May``.

    ``1-1/2``, as somebody typed it, is written ``1 1/2`` like every other fraction.
    """
    return _TOGETHER.sub("\N{NO-BREAK SPACE}", _HYPHENATED.sub(r"\1 \2", text))


@lru_cache(maxsize=2048)
def line_width(text: str, font_px: float, bold: bool = False) -> float:
    """Width in pixels of the widest line of a text that is not wrapped."""
    label = CoreLabel(font_size=font_px, bold=bold)
    return max((float(label.get_extents(line)[0]) for line in text.split("\n")), default=0.0)


@lru_cache(maxsize=2048)
def word_width(text: str, font_px: float, bold: bool = False) -> float:
    """Width in pixels of the widest word: below it a wrapped text would be cut inside a word."""
    words = (each for each in _BREAKS.split(held_together(text)) if not _is_name(each))
    return max((line_width(word, font_px, bold) for word in words), default=0.0)


@lru_cache(maxsize=2048)
def name_width(text: str, font_px: float, bold: bool = False) -> float:
    """Width in pixels of the widest name of a file or folder in a text; 0 without one."""
    names = (each for each in _BREAKS.split(held_together(text)) if _is_name(each))
    return max((line_width(name, font_px, bold) for name in names), default=0.0)


@lru_cache(maxsize=2048)
def wrapped_height(text: str, font_px: float, bold: bool, width: float) -> float:
    """Height in pixels of a text wrapped to a width."""
    label = CoreLabel(text=held_together(text), font_size=font_px, bold=bold, text_size=(width, None))
    label.refresh()
    return float(label.size[1])


def _is_name(word: str) -> bool:
    """Whether it is the name of a file or folder: too long for a word, or with two strokes in it."""
    return len(word) > _LONGEST_WORD or word.count("/") + word.count("\\") > 1
