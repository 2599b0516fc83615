"""The tokens of the screens as live properties: a change of scheme or text size needs no restart.

Every kv file binds to the one ``theme``.  Sizes in kv are strings (``'64dp'``, ``'20sp'``), so that
text scale and density re-lay out what is on the screen.
"""

from __future__ import annotations

from dataclasses import fields

from kivy.event import EventDispatcher
from kivy.metrics import Metrics
from kivy.properties import BoundedNumericProperty, ColorProperty, OptionProperty

from fieldapp.ui.widgets.palette import NOON, PALETTES, Palette, opposite

TOKENS = tuple(f.name for f in fields(Palette) if f.name != "name")


class Theme(EventDispatcher):
    """All colour tokens, the text scale from 1 to 2, and the decimal mark of the keypad."""

    scheme = OptionProperty("noon", options=list(PALETTES))
    decimal_mark = OptionProperty(".", options=[".", ","])
    """What the keypad types between whole and part; a reading is read alike with either."""
    text_scale = BoundedNumericProperty(1.0, min=1.0, max=2.0)
    ground = ColorProperty(NOON.ground)
    well = ColorProperty(NOON.well)
    ink = ColorProperty(NOON.ink)
    soft = ColorProperty(NOON.soft)
    line = ColorProperty(NOON.line)
    hair = ColorProperty(NOON.hair)
    act = ColorProperty(NOON.act)
    act_ink = ColorProperty(NOON.act_ink)
    met = ColorProperty(NOON.met)
    not_met = ColorProperty(NOON.not_met)
    not_shown = ColorProperty(NOON.not_shown)
    state_ink = ColorProperty(NOON.state_ink)
    not_shown_reversed = ColorProperty(opposite(NOON.name).not_shown)
    """For a shape on a row printed in reverse, where the scheme's own would be too faint."""

    def on_scheme(self, _theme: Theme, name: str) -> None:
        for token in TOKENS:
            setattr(self, token, getattr(PALETTES[name], token))
        self.not_shown_reversed = opposite(name).not_shown

    def on_text_scale(self, _theme: Theme, scale: float) -> None:
        Metrics.fontscale = scale


theme = Theme()
