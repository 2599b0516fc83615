"""How the entries on the fluid column are asked for."""

from __future__ import annotations

from typing import Final

from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.hole_sheets import depth_spec
from fieldapp.desk.entry_forms.measures import Measure, Near
from fieldapp.desk.entry_forms.sheet import Sheet, Spec
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.words import FluidStage, MakeUp

FLUID: Final = Sheet(
    FluidTest,
    say.FLUID_TEST,
    (
        Spec("stage", say.STAGE, Ask.CHOICE, words=FluidStage),
        Spec("set", say.SET, Ask.COUNT),
        depth_spec("sample_depth", say.SAMPLE_DEPTH),
        Spec("density", say.DENSITY, Ask.READING, Measure.DENSITY),
        Spec("funnel_time", say.FUNNEL_TIME, Ask.READING, Measure.FUNNEL),
        Spec("cup_volume", say.CUP_VOLUME, Ask.READING, Measure.CUP, likely=("900", "1000", "mL")),
        Spec("temperature", say.TEMPERATURE, Ask.READING, Measure.TEMPERATURE, likely=("35", "110", "degF")),
        Spec("sand", say.SAND, Ask.READING, Measure.SHARE),
        Spec("ph", say.PH, Ask.READING, Measure.ACIDITY, likely=("4", "13", "pH")),
        Spec("hardness", say.HARDNESS, Ask.READING, Measure.HARDNESS, likely=("0", "5000", "mg/L")),
        Spec("instruments", say.INSTRUMENTS, Ask.SEVERAL),
    ),
)

HEAD: Final = Sheet(
    HeadReading,
    say.HEAD_READING,
    (
        depth_spec("fluid_level", say.FLUID_LEVEL, Near.LEVEL, tells=say.FLUID_LEVEL_TELLS),
        Spec("make_up", say.MAKE_UP, Ask.CHOICE, words=MakeUp),
        Spec(
            "piezometric_elevation",
            say.PIEZOMETRIC_ELEVATION,
            Ask.READING,
            Measure.ELEVATION,
            Near.GROUND,
        ),
        Spec("stratum", say.STRATUM, Ask.TEXT),
    ),
)

SHEETS: Final = (FLUID, HEAD)
