"""The read tables: what the journal says now, in plain tables that any SQLite browser can show.

They are derived and disposable.  This module holds their columns as data; the rows come from a projector.
Text columns that end in ``_read`` say what was read, the others hold SI or the unit in their name.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

FORMAT: Final = 3  # raise when a column changes, so that older files are rebuilt at the next opening


@dataclass(frozen=True, slots=True)
class ReadTable:
    """One table: name, what it holds, columns with SQL types, and the column that names the shaft.

    A table without a shaft column belongs to the project as a whole.
    """

    name: str
    says: str
    columns: tuple[tuple[str, str], ...]
    shaft_column: str | None = "shaft"
    extra: str = ""

    @property
    def column_names(self) -> tuple[str, ...]:
        """Names of the columns, in order."""
        return tuple(name for name, _ in self.columns)

    @property
    def sql(self) -> str:
        """The statement that makes the table."""
        lines = ",\n".join(f"    {name} {kind}" for name, kind in self.columns)
        return f"CREATE TABLE {self.name} (\n{lines}{self.extra}\n) STRICT"


_BECAME: Final = (
    ("observed_at", "TEXT NOT NULL"),
    ("entry", "TEXT NOT NULL"),
    ("amended", "INTEGER NOT NULL"),
    ("struck", "INTEGER NOT NULL"),
    ("contested", "INTEGER NOT NULL"),
)

CLOCKS: Final = (
    "test_fluid_by",
    "sound_by",
    "sound_again_by",
    "read_head_by",
    "measure_water_by",
    "clean_by",
    "overream_after",
    "open_until",
)
"""Columns of the shafts that hold a moment: until when what is shown now stays shown, each for its work."""

PROJECT: Final = ReadTable(
    "project",
    "One row: the project, its units, time zone and the acceptance set that it adopted.",
    (
        ("id", "TEXT NOT NULL PRIMARY KEY"),
        ("name", "TEXT NOT NULL"),
        ("units", "TEXT NOT NULL"),
        ("time_zone", "TEXT NOT NULL"),
        ("acceptance_set", "TEXT NOT NULL"),
        ("standard", "TEXT NOT NULL"),
    ),
    shaft_column=None,
)
SHAFTS: Final = ReadTable(
    "shafts",
    "One row a shaft: as planned, its base standing with the reasons, the next useful step with its stage, "
    "the decision on concrete. As of the moment in as_of: a release that lapses by time alone still stands "
    "here until then. Columns that end in _by, _after or _until are moments: test the fluid, sound (by the "
    "acceptance set, or again by the forecast), read the head, measure the water, clean by then; after it "
    "the wall has stood open too long (overream), or the night has come. Empty when no such clock runs.",
    (
        ("id", "TEXT NOT NULL PRIMARY KEY"),
        ("location", "TEXT"),
        ("diameter_m", "REAL"),
        ("method", "TEXT"),
        ("fluid", "TEXT"),
        ("standing", "TEXT NOT NULL"),
        ("reasons", "TEXT NOT NULL"),
        ("next_step", "TEXT NOT NULL"),
        ("stage", "TEXT NOT NULL"),
        ("release", "TEXT NOT NULL"),
        ("release_until", "TEXT"),
        ("concrete_started_at", "TEXT"),
        *((name, "TEXT") for name in CLOCKS),
        ("as_of", "TEXT NOT NULL"),
    ),
    shaft_column="id",
)
SOUNDINGS: Final = ReadTable(
    "soundings",
    "One row a point of a sounding round. thickness_mm is empty where it was not shown: unknown, not zero.",
    (
        ("shaft", "TEXT NOT NULL"),
        ("round", "INTEGER NOT NULL"),
        ("why", "TEXT NOT NULL"),
        ("point", "TEXT NOT NULL"),
        ("r_m", "REAL"),
        ("angle_deg", "REAL"),
        ("first_contact_m", "REAL"),
        ("firm_m", "REAL"),
        ("thickness_mm", "REAL"),
        ("first_contact_read", "TEXT"),
        ("firm_read", "TEXT"),
        ("thickness_read", "TEXT"),
        ("no_reading", "TEXT NOT NULL"),
        *_BECAME,
    ),
)
FLUID_TESTS: Final = ReadTable(
    "fluid_tests",
    "One row a fluid sample; what was not tested is empty.",
    (
        ("shaft", "TEXT NOT NULL"),
        ("stage", "TEXT NOT NULL"),
        ("set_number", "INTEGER NOT NULL"),
        ("sample_depth_m", "REAL"),
        ("density_kg_m3", "REAL"),
        ("funnel_time_s", "REAL"),
        ("cup_volume_ml", "REAL"),
        ("temperature_degc", "REAL"),
        ("sand_percent", "REAL"),
        ("ph", "REAL"),
        ("hardness_mg_l", "REAL"),
        ("density_read", "TEXT"),
        ("funnel_time_read", "TEXT"),
        ("sand_read", "TEXT"),
        *_BECAME,
    ),
)
HEAD_READINGS: Final = ReadTable(
    "head_readings",
    "One row a head reading: fluid level by tape down from the reference, and the piezometric level.",
    (
        ("shaft", "TEXT NOT NULL"),
        ("fluid_level_m", "REAL"),
        ("fluid_level_read", "TEXT"),
        ("make_up", "TEXT"),
        ("piezometric_elevation_m", "REAL"),
        ("piezometric_elevation_read", "TEXT"),
        ("stratum", "TEXT NOT NULL"),
        *_BECAME,
    ),
)
CLEANOUT_PASSES: Final = ReadTable(
    "cleanout_passes",
    "One row a cleanout pass over the base.",
    (
        ("shaft", "TEXT NOT NULL"),
        ("number", "INTEGER NOT NULL"),
        ("method", "TEXT NOT NULL"),
        ("started_at", "TEXT NOT NULL"),
        ("ended_at", "TEXT"),
        ("depth_before_m", "REAL"),
        ("depth_after_m", "REAL"),
        ("depth_before_read", "TEXT"),
        ("depth_after_read", "TEXT"),
        ("came_up", "TEXT NOT NULL"),
        ("air_pressure_mpa", "REAL"),
        ("injection_depth_m", "REAL"),
        *_BECAME,
    ),
)
FINDINGS: Final = ReadTable(
    "findings",
    "One row a requirement held against the record of a shaft: met, not met, not shown or not asked.",
    (
        ("shaft", "TEXT NOT NULL"),
        ("requirement", "TEXT NOT NULL"),
        ("part", "TEXT NOT NULL"),
        ("outcome", "TEXT NOT NULL"),
        ("says", "TEXT NOT NULL"),
        ("measured", "TEXT NOT NULL"),
        ("limit_text", "TEXT NOT NULL"),
        ("place", "TEXT NOT NULL"),
        ("observed_at", "TEXT"),
        ("source", "TEXT NOT NULL"),
        ("work", "TEXT"),
        ("weight", "INTEGER NOT NULL"),
        ("entries", "TEXT NOT NULL"),
    ),
)
TIMELINE: Final = ReadTable(
    "timeline",
    "Every entry in the order of folding with one line of text; shaft is empty for entries of the project.",
    (
        ("shaft", "TEXT"),
        ("stamp", "INTEGER NOT NULL"),
        ("device", "TEXT NOT NULL"),
        ("seq", "INTEGER NOT NULL"),
        ("kind", "TEXT NOT NULL"),
        ("says", "TEXT NOT NULL"),
        ("author", "TEXT NOT NULL"),
        ("recorded_at", "TEXT NOT NULL"),
        *_BECAME,
    ),
)

READ_TABLES: Final = (
    PROJECT,
    SHAFTS,
    SOUNDINGS,
    FLUID_TESTS,
    HEAD_READINGS,
    CLEANOUT_PASSES,
    FINDINGS,
    TIMELINE,
)

LAST_SOUNDINGS_SAYS: Final = "The points of the last sounding round of each shaft that counts."
LAST_SOUNDINGS: Final = """CREATE VIEW last_soundings AS
SELECT * FROM soundings AS s
WHERE struck = 0 AND contested = 0 AND entry = (
    SELECT entry FROM soundings
    WHERE shaft = s.shaft AND struck = 0 AND contested = 0
    ORDER BY julianday(observed_at) DESC, round DESC LIMIT 1
)"""

CORRECTIONS_SAYS: Final = (
    "The entries that say that a clock was corrected, and their changes: they count for every shaft."
)
CORRECTIONS: Final = "CREATE TABLE clock_corrections (\n    entry TEXT NOT NULL PRIMARY KEY\n) STRICT"

ABOUT: Final = "CREATE TABLE about (\n    name TEXT NOT NULL PRIMARY KEY,\n    value TEXT NOT NULL\n) STRICT"
ABOUT_FILE: Final = (
    ("this file", "The journal of a Basenote project. Look at a copy; do not change it with other programs."),
    ("entries", "The evidence: every entry as it was made, sealed and chained by hash. Never changed."),
    ("devices", "The devices whose entries are here, and the last entry of each chain."),
    ("forms", "Forms that somebody has begun and not yet recorded. Not evidence."),
    ("about", "This table: what each table of the file holds."),
)
