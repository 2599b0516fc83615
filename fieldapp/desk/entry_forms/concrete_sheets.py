"""How the entries on concrete are asked for."""

from __future__ import annotations

from typing import Final

from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.hole_sheets import depth_spec
from fieldapp.desk.entry_forms.measures import Measure, Near
from fieldapp.desk.entry_forms.sheet import Sheet, Spec
from fieldapp.record.concrete import AsBuilt, ConcreteFinished, ConcreteStarted

STARTED: Final = Sheet(
    ConcreteStarted,
    say.CONCRETE_STARTED,
    (
        Spec("first_charge", say.FIRST_CHARGE, Ask.TEXT, long=True),
        Spec("slump", say.SLUMP, Ask.READING, Measure.THICKNESS, likely=("25", "280", "mm")),
        depth_spec("tremie_depth", say.TREMIE_DEPTH, Near.BASE),
    ),
)

FINISHED: Final = Sheet(
    ConcreteFinished,
    say.CONCRETE_FINISHED,
    (
        Spec("text", say.TEXT, Ask.TEXT, long=True),
        Spec("volume", say.VOLUME, Ask.READING, Measure.CONCRETE, Near.VOLUME),
        Spec("top_elevation", say.TOP_ELEVATION, Ask.READING, Measure.ELEVATION, Near.GROUND),
    ),
)

BUILT: Final = Sheet(
    AsBuilt,
    say.AS_BUILT,
    (
        Spec("text", say.TEXT, Ask.TEXT, long=True),
        Spec("tip_elevation", say.TIP_AS_BUILT, Ask.READING, Measure.ELEVATION, Near.TIP),
        Spec("toe_finding", say.TOE_FINDING, Ask.TEXT, long=True),
        Spec("toe_doubtful", say.TOE_DOUBTFUL, Ask.YES_NO),
    ),
)

SHEETS: Final = (STARTED, FINISHED, BUILT)
