"""Every number of every preset, held against the survey of standards (row numbers stand in front).

The table was typed from the survey, not from the presets.  B, W, S, Q, H, T, P and K are its rows for base,
water, slurry, sampling, head, time, tolerances and concrete; R is base resistance; "7" is its section on
soundings, "9" on what instruments resolve, "12" on records, "13.1" on resistance factors, "2" its table of
presets.  "judgment" marks what no document gives.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from fieldapp.criteria.acceptance import acceptance_set, described
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.record.reading import Reading

FOLDER = Path(__file__).parents[2] / "assets" / "acceptance"
PRESETS = {
    "A": "us-classic",
    "B": "us-2018",
    "C": "us-friction-only",
    "D": "us-miscellaneous",
    "E": "eu-en1536",
    "I": "in-is2911",
    "L": "legacy-ufc1997",
}
INTRO = "fluid mineral; stage introduced"
FINAL = "fluid mineral; stage before concrete"
HOLE = "stage drilling, before final cleaning, before concrete"
SLURRIES = "fluid mineral, polymer"
FLUID_TOOLS = "instrument mud balance, funnel, pH meter"
BRIDGE = "structure class bridge"

# row | presets | name | case | value | strict or incl | confidence
TABLE = f"""
B1 | AB | area_fraction_limit | | 1/2 in | strict | memory: sure
B1 | AB | area_fraction_min | | 50 % | incl | memory: sure
B1 | AB | max_thickness_anywhere | | 1.5 in | incl | memory: sure
B4 | D | area_fraction_limit | {BRIDGE} | 1/2 in | strict | memory: sure
B4 | D | area_fraction_min | {BRIDGE} | 50 % | incl | memory: sure
B4 | D | max_thickness_anywhere | {BRIDGE} | 1.5 in | incl | memory: sure
B5 | D | flat_cap_thickness | structure class miscellaneous | 1 in | incl | memory: fair
B7 | C | max_thickness_anywhere | design basis side | 3 in | incl | memory: fair
B7 | C | max_thickness_anywhere | design basis base, both | 1.5 in | incl | memory: fair
B7 | C | area_fraction_limit | design basis base, both | 1/2 in | strict | memory: fair
B7 | C | area_fraction_min | design basis base, both | 50 % | incl | memory: fair
B2 | ACD | standing_water_limit | method dry | 3 in | incl | memory: sure
B2a | B | standing_water_limit | method dry | 3 in | strict | second-hand
W1 | ACD | seepage_rate_limit | method dry | 12 in/h | incl | memory: sure
W1 | B | seepage_rate_limit | method dry | 12 in/h | incl | second-hand
W2 | ABCD | seepage_window | method dry | 5 min | incl | calculated
7 | ABCDL | min_points | diameter under 5 ft | 5 count | incl | judgment
7 | ABCDL | min_points | diameter from 5 ft; diameter under 8.01 ft | 9 count | incl | judgment
7 | ABCDL | min_points | diameter from 8.01 ft | 13 count | incl | judgment
7 | EI | min_points | diameter under 1.5 m | 5 count | incl | judgment
7 | EI | min_points | diameter from 1.5 m; diameter under 2.41 m | 9 count | incl | judgment
7 | EI | min_points | diameter from 2.41 m | 13 count | incl | judgment
judgment | ABCDEIL | largest_unprobed | | 75 % | incl | judgment
judgment | ABCDL | firm_depth_tol | | 3 in | incl | judgment
judgment | EI | firm_depth_tol | | 75 mm | incl | judgment
judgment | ABCDEIL | water_max_age | | 1 h | incl | judgment
7 | ABCDL | edge_offset | | 6 in | incl | judgment
7 | EI | edge_offset | | 150 mm | incl | judgment
7 | ABCDEIL | rounds_required | | after cage, before concrete | incl | memory: sure
7 | ABCDEIL | require_firm_bottom | | yes | incl | judgment
9 | ABCDL | measurement_uncertainty | | 1/2 in | incl | memory: fair
9 | ABCDL | measurement_uncertainty | instrument camera | 1/4 in | incl | memory: fair
9 | EI | measurement_uncertainty | | 12 mm | incl | memory: fair
9 | EI | measurement_uncertainty | instrument camera | 6 mm | incl | memory: fair
judgment | ABCDEIL | weighting | | area cells | incl | judgment
judgment | ABCDEIL | unknown_policy | | incomplete | incl | judgment
T1 | ABCD | max_slurry_contact_bottom_h | fluid mineral | 4 h | incl | memory: sure
T1 | ABCD | contact_zone_length | fluid mineral | 5 ft | incl | memory: sure
T2 | ABCD | overream_min | | 1/2 in | incl | memory: sure
T2 | ABCD | overream_max | | 3 in | incl | memory: sure
T3 | D | max_open_hours_rock | | 36 h | incl | memory: fair
T8 | ABCDEIL | resound_events | | slough, loss of head, cage set, tremie set | incl | judgment
T8 | ABCDEIL | reclean_on_slurry_fail | | yes | incl | judgment
T8 | ABCDL | reclean_rise_trigger | | 1/2 in | incl | judgment
T8 | EI | reclean_rise_trigger | | 12 mm | incl | judgment
judgment | ABCDEIL | max_hours_inspect_to_concrete | | 4 h | incl | judgment
4.4 | ABCDEIL | viscosity_cup | | 946 mL | incl | second-hand
S1 | A | density_min | {INTRO} | 64.3 pcf | incl | memory: sure
S1 | A | density_max | {INTRO} | 69.1 pcf | incl | memory: sure
S1 | A | viscosity_min | {INTRO} | 28 s | incl | memory: sure
S1 | A | viscosity_max | {INTRO} | 45 s | incl | memory: sure
S1 | A | ph_min | {INTRO} | 8 pH | incl | memory: sure
S1 | A | ph_max | {INTRO} | 11 pH | incl | memory: sure
S2 | A | density_min | fluid mineral; {HOLE} | 64.3 pcf | incl | memory: sure
S2 | A | density_max | fluid mineral; {HOLE} | 75.0 pcf | incl | memory: sure
S2 | A | viscosity_min | fluid mineral; {HOLE} | 28 s | incl | memory: sure
S2 | A | viscosity_max | fluid mineral; {HOLE} | 45 s | incl | memory: sure
S2 | A | ph_min | fluid mineral; {HOLE} | 8 pH | incl | memory: sure
S2 | A | ph_max | fluid mineral; {HOLE} | 11 pH | incl | memory: sure
S2 | A | sand_max | {FINAL} | 4 % | incl | memory: sure
S4 | A | density_max | fluid polymer; stage before concrete | 64 pcf | incl | memory: fair
S4 | A | viscosity_min | fluid polymer; stage before concrete | 32 s | incl | memory: fair
S4 | A | viscosity_max | fluid polymer; stage before concrete | 135 s | incl | memory: fair
S4 | A | ph_min | fluid polymer; stage before concrete | 8 pH | incl | memory: fair
S4 | A | ph_max | fluid polymer; stage before concrete | 11.5 pH | incl | memory: fair
S4 | A | sand_max | fluid polymer; stage before concrete | 1 % | incl | memory: fair
S14 | A | density_max | fluid water; stage before concrete | 63.5 pcf | incl | memory: fair
S14 | A | sand_max | fluid water; stage before concrete | 0.5 % | incl | memory: fair
Q10 | A | salt_density_add | salinity salt | 2 pcf | incl | memory: fair
S5 | B | density_max | {FINAL} | 71.8 pcf | incl | second-hand
S5 | B | viscosity_min | {FINAL} | 28 s | incl | second-hand
S5 | B | viscosity_max | {FINAL} | 40 s | incl | second-hand
S5 | B | ph_min | {FINAL} | 7.5 pH | incl | second-hand
S5 | B | ph_max | {FINAL} | 11 pH | incl | second-hand
S5 | B | sand_max | {FINAL} | 4 % | incl | second-hand
S6 | B | density_max | fluid polymer; stage before concrete | 63.05 pcf | incl | second-hand
S6 | B | viscosity_min | fluid polymer; stage before concrete | 34 s | incl | second-hand
S6 | B | viscosity_max | fluid polymer; stage before concrete | 80 s | incl | second-hand
S6 | B | ph_min | fluid polymer; stage before concrete | 7 pH | incl | second-hand
S6 | B | ph_max | fluid polymer; stage before concrete | 12 pH | incl | second-hand
S6 | B | sand_max | fluid polymer; stage before concrete | 1 % | incl | second-hand
S15 | C | density_min | {FINAL} | 63 pcf | incl | memory: fair
S15 | C | density_max | {FINAL} | 75 pcf | incl | memory: fair
S15 | C | ph_min | {FINAL} | 8 pH | incl | memory: fair
S15 | C | ph_max | {FINAL} | 11 pH | incl | memory: fair
S15 | C | sand_max | {FINAL} | 4 % | incl | memory: fair
S3 | C | viscosity_min | {FINAL} | 28 s | incl | memory: fair
S3 | C | viscosity_max | {FINAL} | 50 s | incl | memory: fair
S16 | C | density_max | fluid polymer; stage before concrete | 64 pcf | incl | memory: fair
S16 | C | viscosity_min | fluid polymer; stage before concrete | 32 s | incl | memory: fair
S16 | C | viscosity_max | fluid polymer; stage before concrete | 135 s | incl | memory: fair
S16 | C | ph_min | fluid polymer; stage before concrete | 6 pH | incl | memory: fair
S16 | C | ph_max | fluid polymer; stage before concrete | 11.5 pH | incl | memory: fair
S16 | C | sand_max | fluid polymer; stage before concrete | 1 % | incl | memory: fair
S17 | C | density_max | fluid water; stage before concrete | 65 pcf | incl | memory: fair
S17 | C | sand_max | fluid water; stage before concrete | 1 % | incl | memory: fair
S10 | D | density_min | fluid mineral; {HOLE}; salinity fresh | 64 pcf | incl | memory: fair
S10 | D | density_max | fluid mineral; {HOLE}; salinity fresh | 73 pcf | incl | memory: fair
S10 | D | density_min | fluid mineral; {HOLE}; salinity salt | 66 pcf | incl | memory: fair
S10 | D | density_max | fluid mineral; {HOLE}; salinity salt | 75 pcf | incl | memory: fair
S10 | D | viscosity_min | fluid mineral; {HOLE} | 28 s | incl | memory: fair
S10 | D | viscosity_max | fluid mineral; {HOLE} | 40 s | incl | memory: fair
S10 | D | ph_min | fluid mineral; {HOLE} | 8 pH | incl | memory: fair
S10 | D | ph_max | fluid mineral; {HOLE} | 11 pH | incl | memory: fair
S10 | D | sand_max | {FINAL} | 4 % | incl | memory: fair
S11 | D | density_min | fluid polymer; {HOLE}; salinity fresh | 62 pcf | incl | memory: fair
S11 | D | density_max | fluid polymer; {HOLE}; salinity fresh | 64 pcf | incl | memory: fair
S11 | D | density_min | fluid polymer; {HOLE}; salinity salt | 64 pcf | incl | memory: fair
S11 | D | density_max | fluid polymer; {HOLE}; salinity salt | 66 pcf | incl | memory: fair
S11 | D | sand_max | fluid polymer; stage before concrete | 0.5 % | incl | memory: fair
S20 | E | density_max | {INTRO} | 1.10 g/cm3 | strict | memory: sure
S20 | E | viscosity_min | {INTRO} | 32 s | incl | memory: sure
S20 | E | viscosity_max | {INTRO} | 50 s | incl | memory: sure
S20 | E | ph_min | {INTRO} | 7 pH | incl | memory: sure
S20 | E | ph_max | {INTRO} | 11 pH | incl | memory: sure
S22 | E | density_max | {FINAL} | 1.15 g/cm3 | strict | memory: sure
S22 | E | viscosity_min | {FINAL} | 32 s | incl | memory: sure
S22 | E | viscosity_max | {FINAL} | 50 s | incl | memory: sure
S22 | E | sand_max | {FINAL} | 4 % | strict | memory: sure
S23 | E | fluid_loss_max | {INTRO} | 30 mL | strict | memory: sure
S24 | E | cake_max | {INTRO} | 3 mm | strict | memory: sure
S25 | I | density_min | {INTRO} | 1.03 g/cm3 | incl | second-hand
S25 | I | density_max | {INTRO} | 1.10 g/cm3 | incl | second-hand
S25 | I | viscosity_min | {INTRO} | 30 s | incl | second-hand
S25 | I | viscosity_max | {INTRO} | 60 s | incl | second-hand
S25 | I | ph_min | {INTRO} | 9 pH | incl | second-hand
S25 | I | ph_max | {INTRO} | 11.5 pH | incl | second-hand
S26 | I | density_max | fluid mineral; stage drilling | 1.25 g/cm3 | incl | second-hand
S26 B19 | I | density_max | {FINAL} | 1.12 g/cm3 | incl | second-hand
S8 | L | density_max | {INTRO} | 70 pcf | strict | read
S8 | L | viscosity_min | {INTRO} | 30 s | incl | read
S8 | L | viscosity_max | {INTRO} | 50 s | incl | read
S8 | L | ph_min | {INTRO} | 9.5 pH | incl | read
S8 | L | ph_max | {INTRO} | 12 pH | incl | read
S8 | L | sand_max | {INTRO} | 2 % | incl | read
S9 | L | gel_min | {INTRO} | 0.03 psf | incl | read
S9 | L | gel_max | {INTRO} | 0.2 psf | incl | read
Q1 | AB | temp_min_test | {SLURRIES} | 40 degF | incl | read
Q2 | ABD | sample_bottom_within | {SLURRIES} | 2 ft | incl | memory: fair
Q4 | ABD | sample_interval_max | {SLURRIES} | 10 ft | incl | memory: sure
Q8 | ABD | all_depths_must_pass | {SLURRIES} | yes | incl | judgment
Q5 | ABD | consecutive_sets | {SLURRIES} | 2 count | incl | memory: sure
Q6 | ABD | initial_sets | {SLURRIES} | 4 count | incl | memory: sure
Q6 | ABD | initial_hours | {SLURRIES} | 8 h | incl | memory: sure
Q6 | ABD | steady_interval | {SLURRIES} | 4 h | incl | memory: sure
S1 S2 | A | stages_required | {SLURRIES} | introduced, before concrete | incl | memory: sure
Q12 | B | stages_required | {SLURRIES} | drilling, before concrete | incl | second-hand
S15 S16 | C | stages_required | {SLURRIES} | before concrete | incl | memory: fair
S10 S11 | D | stages_required | {SLURRIES} | before concrete | incl | memory: fair
S20 S22 | E | stages_required | fluid mineral | introduced, before concrete | incl | memory: sure
S25 S26 | I | stages_required | fluid mineral | introduced, before concrete | incl | second-hand
S8 | L | stages_required | fluid mineral | introduced | incl | read
judgment | ABCDEIL | fluid_test_max_age | | 4 h | incl | judgment
H1 | AB | min_head | fluid water, mineral | 5 ft | incl | memory: sure
H1 | AB | head_reference | | piezometric | incl | memory: sure
H2 | D | min_head | fluid mineral | 4 ft | incl | memory: fair
H1 | D | min_head | fluid water | 5 ft | incl | memory: sure
H2 | D | head_reference | | piezometric | incl | memory: fair
H3 | C | min_head | fluid water, mineral | 5 ft | incl | memory: fair
H3 | C | min_head | fluid polymer | 10 ft | incl | memory: fair
H3 | C | head_reference | | groundwater | incl | memory: fair
H7 | E | min_head | | 1.0 m | incl | memory: fair
H7 | E | head_reference | | groundwater | incl | memory: fair
judgment | IL | head_reference | | piezometric | incl | judgment
H9 | ABCD | casing_concrete_head_min | method cased | 5 ft | incl | read
judgment | ABCDEIL | max_head_gap | | 2 h | incl | judgment
P1 | ABC | plan_tol | | 3 in | incl | memory: sure
P1 | ABC | plan_tol_rule | | fixed | incl | memory: sure
P2 | ABCD | plumb_tol | | 1/48 ratio | incl | memory: sure
P3 | ABC | plumb_tol_rock | | 1/24 ratio | incl | memory: fair
P5 | E | plan_tol | diameter under 1.0 m | 100 mm | incl | memory: sure
P5 | E | plan_tol | diameter from 1.0 m; diameter under 1.5 m | 0.1 ratio | incl | memory: sure
P5 | E | plan_tol | diameter from 1.5 m | 150 mm | incl | memory: sure
P5 | E | plan_tol_rule | | stepped | incl | memory: sure
P6 | E | plumb_tol | | 2 % | incl | memory: sure
P8 | I | plan_tol | diameter under 601 mm | 50 mm | incl | memory: fair
P8 | I | plan_tol_rule | | fixed | incl | memory: fair
K1 | ACD | slump_min_dry | | 6 in | incl | read (transcription)
K1 | ACD | slump_max_dry | | 7 in | incl | read (transcription)
K2 | ACD | slump_min_wet | | 7 in | incl | read (transcription)
K2 | ACD | slump_max_wet | | 9 in | incl | read (transcription)
K6 | ACD | tremie_embed_min | | 5 ft | incl | memory: sure
K1 | B | slump_min_dry | | 6 in | incl | second-hand
K1 | B | slump_max_dry | | 8 in | incl | second-hand
K2 | B | slump_min_wet | | 8 in | incl | second-hand
K2 | B | slump_max_wet | | 10 in | incl | second-hand
K4 | B | workability_hours_min | | 4 h | incl | second-hand
K5 | B | tremie_id_min | | 10 in | incl | second-hand
K6 | B | tremie_embed_min | | 10 ft | incl | second-hand
K12 | B | volume_over_flag | | 10 % | incl | second-hand
K7 | E | tremie_embed_min | diameter under 1.2 m | 1.5 m | incl | memory: fair
K7 | E | tremie_embed_min | diameter from 1.2 m | 2.5 m | incl | memory: fair
K7 | E | first_lift_max | | 0.1 m | incl | memory: fair
R1 R3 | ABD | base_requires | | clean_verified, no_voids, not_karst | incl | read (transcription)
13.1 | ABCD | single_shaft_reduction | | 0.80 ratio | incl | memory: sure
13.1 | ABCD | phi_side_clay | | 0.45 ratio | incl | second-hand
13.1 | ABCD | phi_side_sand | | 0.55 ratio | incl | second-hand
13.1 | ABCD | phi_side_rock | | 0.55 ratio | incl | second-hand
13.1 | ABCD | phi_side_igm | | 0.60 ratio | incl | memory: sure
13.1 | ABD | phi_base_clay | | 0.40 ratio | incl | second-hand
13.1 | ABD | phi_base_sand | | 0.50 ratio | incl | second-hand
13.1 | ABD | phi_base_rock | | 0.50 ratio | incl | second-hand
13.1 | ABCD | phi_load_test | | 0.70 ratio | incl | second-hand
judgment | ABCDEIL | instrument_check_max_age | | 30 day | incl | judgment
judgment | ABCDEIL | instrument_check_max_age | {FLUID_TOOLS} | 7 day | incl | judgment
judgment | ABCDEIL | late_entry_after | | 12 h | incl | judgment
12 | ABCD | signatures_required | | 1 count | incl | second-hand
judgment | EIL | signatures_required | | 1 count | incl | judgment
12 | ABCD | retention_years | | 3 count | incl | memory: fair
judgment | ABCDEIL | override_reason_required | | yes | incl | judgment
judgment | ABCDEIL | release_valid_for | | 4 h | incl | judgment
"""

# Section 2 of the survey, and rows that name a product or disagree: a person has to enter these.
TO_BE_ENTERED = f"""
4.2 | ABCDEIL | product_range | fluid polymer
4.2 | AB D | min_head | fluid polymer
13.1 | AB D | phi_base_igm |
S11 | D | viscosity_min | fluid polymer; {HOLE}
S11 | D | viscosity_max | fluid polymer; {HOLE}
S11 | D | ph_min | fluid polymer; {HOLE}
S11 | D | ph_max | fluid polymer; {HOLE}
2 | EIL | mean_thickness_limit |
2 | EIL | max_thickness_anywhere |
2 | EIL | standing_water_limit | method dry
2 | C | sample_bottom_within | {SLURRIES}
2 | C | sample_interval_max | {SLURRIES}
2 | CIL | consecutive_sets | {SLURRIES}
2 | EIL | sample_bottom_within | {SLURRIES}
2 | IL | sand_max | {FINAL}
2 | L | density_max | {FINAL}
2 | IL | min_head |
P8 | I | plan_tol | diameter from 601 mm
"""


def cells(table):
    for line in table.strip().splitlines():
        row, presets, name, case, *rest = (cell.strip() for cell in line.split("|"))
        for preset in presets.replace(" ", ""):
            yield row, PRESETS[preset], f"{name} ({case})" if case else name, *rest


def load(preset):
    return acceptance_set(tomllib.loads((FOLDER / f"{preset}.toml").read_text(encoding="utf-8")))


@pytest.fixture(scope="module")
def sets():
    return {preset: load(preset) for preset in PRESETS.values()}


def by_case(accepted):
    return {described(each.name, each.applies): each for each in accepted.parameters}


def said(parameter):
    """SI value with its dimension, or the word, so that 1.5 in and 1-1/2 in are the same number."""
    return (parameter.reading.si, parameter.reading.dimension) if parameter.reading else parameter.value


def expected_value(name, text):
    if not PARAMETERS[name.split(" (")[0]].dimensions:
        return text
    reading = Reading(*text.rsplit(" ", 1))
    return reading.si, reading.dimension


def test_the_folder_holds_the_seven_presets_and_no_other():
    assert {path.stem for path in FOLDER.glob("*.toml")} == set(PRESETS.values())


@pytest.mark.parametrize("line", list(cells(TABLE)), ids=lambda line: "_".join(line[:3]).replace(" ", "_"))
def test_a_value_is_the_number_of_its_row_in_the_survey(sets, line):
    row, preset, name, value, strict, confidence = line
    parameter = by_case(sets[preset])[name]
    assert said(parameter) == expected_value(name, value), row
    assert parameter.strict is (strict == "strict"), row
    assert parameter.confidence == confidence, row


@pytest.mark.parametrize(("row", "preset", "name"), list(cells(TO_BE_ENTERED)))
def test_what_no_document_gives_has_to_be_entered(sets, row, preset, name):
    parameter = by_case(sets[preset])[name]
    assert parameter.value is None, row
    assert parameter.confidence == "none", row


@pytest.mark.parametrize("preset", PRESETS.values())
def test_no_value_of_a_preset_is_missing_from_the_tables(sets, preset):
    tabled = {name for _, of, name, *_ in (*cells(TABLE), *cells(TO_BE_ENTERED)) if of == preset}
    assert set(by_case(sets[preset])) == tabled


@pytest.mark.parametrize("preset", PRESETS.values())
def test_every_value_says_where_it_is_from_and_is_verified_by_nobody_yet(sets, preset):
    for each in sets[preset].parameters:
        assert each.source.strip(), each.name
        assert each.confidence not in {"contract", "memory: weak"}, each.name
        assert each.verified_by == "", each.name


@pytest.mark.parametrize("preset", PRESETS.values())
def test_a_judgment_is_not_dressed_up_as_a_document(sets, preset):
    for each in sets[preset].parameters:
        if each.confidence == "judgment":
            assert each.source.startswith("judgment"), each.name
            assert not each.edition, each.name
            assert not each.clause, each.name


@pytest.mark.parametrize("preset", PRESETS.values())
def test_a_preset_is_named_generically_and_says_to_confirm_it(preset):
    document = tomllib.loads((FOLDER / f"{preset}.toml").read_text(encoding="utf-8"))
    assert document["standard"].startswith("after ")
    assert any(word in document["standard"] for word in ("confirm", "replaces"))
    assert document["title"].endswith(("form", "counted", "of 1997"))


@pytest.mark.parametrize("preset", PRESETS.values())
def test_the_form_is_explained_at_the_head_of_every_file(preset):
    head = (FOLDER / f"{preset}.toml").read_text(encoding="utf-8").split("\nid = ")[0]
    assert all(line.startswith("#") for line in head.strip().splitlines())
    for key in ("name", "value", "unit", "strict", "source", "confidence", "verified_by", "note", "applies"):
        assert f"\n#     {key}" in head, key


@pytest.mark.parametrize("low", ["density_min", "viscosity_min", "ph_min", "gel_min", "overream_min"])
@pytest.mark.parametrize("preset", PRESETS.values())
def test_a_lower_limit_lies_below_the_upper_one_of_the_same_case(sets, preset, low):
    found = by_case(sets[preset])
    for name, parameter in found.items():
        upper = found.get(name.replace("_min", "_max"))
        if parameter.name == low and parameter.reading and upper is not None and upper.reading:
            assert parameter.reading.si < upper.reading.si, name
