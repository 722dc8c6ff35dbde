"""Figures printed by universities and agencies, worked out again by the project's own arithmetic.

The source of each check is named beside it; the tables, with full sources and evidence marks, are
in shared/reference. A check resting on a figure that was only remembered says MEMORY.
"""

import math
from fractions import Fraction

import pytest
from on_paper import plants_per_m2, quantities, yield_a_year

from crops.arithmetic import area_for, days_hole_held, plants_standing, seeds_to_sow
from crops.library import card, cards
from crops.published import table
from scheduler.farm.crops import Crop, Handling, Minutes, Stage, StageKind
from scheduler.farm.units import MM_PER, SQUARE_MM_PER_M2, WHOLE_SHARE, needed_for

WIDTH_MM, LENGTH_MM = 609.6, 1219.2
"""A 2 x 4 ft board."""

M2_PER_ACRE = 4046.8564224
FT2_PER_ACRE = 43560

BOARDS = table("board_densities")


@pytest.mark.parametrize(
    "row",
    [row for row in BOARDS if row["evidence"] == "READ"],
    ids=lambda row: f"{row['board']} ({row['source_id']})",
)
def test_holes_on_a_board_give_the_published_density(row: dict[str, str]) -> None:
    # Both, Rutgers: 60 and 21 holes are 81 and 28 plants/m2. Shuler et al.: 36 holes on 4 x 4 ft, 24.2.
    # Ako & Baker, Hawaii: 48 heads on 4 x 8 ft.
    density = plants_per_m2(int(row["holes"]), float(row["width_mm"]), float(row["length_mm"]))
    decimals = len(row["value"].partition(".")[2])
    assert round(density, decimals) == float(row["value"])


def test_a_board_rounded_to_60_by_120_cm_would_miss_the_published_density() -> None:
    # Both, Rutgers, prints both sizes; only 2 x 4 ft gives 81 and 28.
    assert [round(plants_per_m2(holes, 600, 1200)) for holes in (60, 21)] == [83, 29]


def test_feet_are_turned_into_the_millimetres_of_a_two_by_four_board() -> None:
    # Both, Rutgers: 2 x 4 ft. 0.74322 m2.
    width, length = 2 * MM_PER["ft"], 4 * MM_PER["ft"]
    assert (width, length) == (Fraction(6096, 10), Fraction(12192, 10))
    assert float(width * length / SQUARE_MM_PER_M2) == pytest.approx(0.74322, abs=5e-6)


def test_72_and_28_holes_give_the_handbook_densities_from_memory() -> None:
    # MEMORY: Brechner & Both, Hydroponic Lettuce Handbook, 97 and 38 plants/m2; not read.
    remembered = {int(row["holes"]): float(row["value"]) for row in BOARDS if row["evidence"] == "MEMORY"}
    assert remembered == {72: 97, 28: 38}
    for holes, density in remembered.items():
        assert round(plants_per_m2(holes, WIDTH_MM, LENGTH_MM)) == density


def test_1245_heads_a_day_need_the_published_area() -> None:
    # Cornell commercial demonstration facility: 1245 heads a day on 0.15 acre, READ.
    # The two densities and their 10 and 14 days are MEMORY (handbook).
    cornell = quantities("cornell_area")
    floor = cornell["growing_area"] * M2_PER_ACRE
    stays = [
        (cornell["days_first_spacing"], cornell["first_density"]),
        (cornell["days_final_spacing"], cornell["final_density"]),
    ]
    assert floor == pytest.approx(607.0, abs=0.05)
    assert area_for(cornell["heads_per_day"], stays) == pytest.approx(587, abs=0.5)
    assert area_for(cornell["heads_per_day"], stays) / floor == pytest.approx(0.967, abs=0.0005)


def test_the_wider_rutgers_spacing_carries_the_first_design_of_the_same_floor() -> None:
    # Rutgers spacing (READ) on the Cornell floor (READ): 980 heads a day against a design of 1000 (READ).
    cornell, rutgers = quantities("cornell_area"), quantities("rutgers_lettuce")
    stays = [
        (rutgers[f"days_{step}_spacing"], plants_per_m2(int(rutgers[f"{step}_holes"]), WIDTH_MM, LENGTH_MM))
        for step in ("first", "final")
    ]
    heads = cornell["growing_area"] * M2_PER_ACRE / area_for(1, stays)
    assert heads == pytest.approx(980, abs=0.5)
    assert heads == pytest.approx(cornell["heads_per_day_design"], rel=0.03)


def test_heads_per_square_foot_and_year_are_the_published_seventy() -> None:
    # Cornell commercial demonstration facility, READ: "seventy" from 1245 a day on 0.15 acre.
    cornell = quantities("cornell_area")
    heads = plants_standing(cornell["heads_per_day"], 365) / (cornell["growing_area"] * FT2_PER_ACRE)
    assert heads == pytest.approx(69.5, abs=0.05)
    assert round(heads) == cornell["heads_per_ft2_year"]


def test_a_quarter_of_the_rafts_each_week_gives_the_published_basil_of_a_year() -> None:
    # Rakocy et al. 2004, University of the Virgin Islands, READ: 214 m2, 1.8 kg/m2, 5.01 t, 23.4 kg/m2.
    basil = quantities("uvi_basil")
    year = yield_a_year(basil["raft_area"], basil["basil_staggered_per_crop"], int(basil["weeks_per_crop"]))
    assert round(year) == 5008
    assert round(year / 1000, 2) == basil["basil_staggered_system"]
    square_metre = yield_a_year(1, basil["basil_staggered_per_crop"], int(basil["weeks_per_crop"]))
    assert square_metre == pytest.approx(basil["basil_staggered_per_year"], abs=1e-9)


@pytest.mark.parametrize(
    ("system", "per_m2", "area"),
    [
        ("basil_batch_system", "basil_batch_per_year", 213.6),
        ("basil_staggered_system", "basil_staggered_per_year", 214.1),
        ("okra_system", "okra_per_year", 213.9),
    ],
)
def test_three_yields_give_the_same_raft_area_back(system: str, per_m2: str, area: float) -> None:
    # Rakocy et al. 2004 for the yields, Rakocy et al. 1997 for 214 m2; all READ.
    uvi = quantities("uvi_basil")
    back = uvi[system] * 1000 / uvi[per_m2]
    assert round(back, 1) == area
    assert round(back) == uvi["raft_area"]
    weekly = yield_a_year(uvi["raft_area"], uvi[per_m2], 1, weeks=1)
    assert weekly == pytest.approx(uvi[system] * 1000, rel=0.002)


def test_25_heads_a_week_take_the_published_plants_area_and_feed() -> None:
    # FAO Fisheries and Aquaculture Technical Paper 589 (2014), READ-2; the four weeks and the
    # 100 plants in between are MEMORY.
    fao = quantities("fao_worked_example")
    a_day, days = fao["heads_per_week"] / 7, fao["weeks_in_raft"] * 7
    plants = plants_standing(a_day, days)
    area = area_for(a_day, [(days, fao["density"])])
    assert plants == pytest.approx(fao["plants_standing"])
    assert area == pytest.approx(fao["area"])
    assert area * fao["feed_ratio"] == pytest.approx(fao["feed_per_day"])


def test_960_plants_of_1200_seeds_are_the_legal_minimum_of_lettuce_seed() -> None:
    # Both, Rutgers, READ, against 7 CFR 201.31 (1994), READ.
    rutgers = quantities("rutgers_lettuce")
    sown, moved = rutgers["seeds_sown_per_day"], rutgers["plants_moved_per_day"]
    assert moved / sown * 100 == MINIMUM["lettuce"] == 80
    assert seeds_to_sow(int(moved), moved / sown * 100) == sown
    assert card("lettuce_butterhead").value("usable_plants_per_seed") == moved / sown


MINIMUM = {row["kind"]: float(row["value"]) for row in table("seed_germination_minimum")}


@pytest.mark.parametrize(
    ("kind", "seeds"),
    [
        ("lettuce", 125),
        ("kale", 134),
        ("pak-choi", 134),
        ("Swiss chard", 154),
        ("spinach", 167),
        ("parsley", 167),
        ("chives", 200),
        ("water cress", 250),
    ],
)
def test_seed_for_100_plants_at_the_legal_minimum_rounds_up(kind: str, seeds: int) -> None:
    # 7 CFR 201.31, as of 59 FR 64491 (1994), READ.
    assert seeds_to_sow(100, MINIMUM[kind]) == seeds
    assert needed_for(100, int(MINIMUM[kind] * WHOLE_SHARE / 100)) == seeds, "the planner rounds alike"


def test_the_printed_case_that_rounds_seed_down_is_rounded_up_here() -> None:
    # Resh, hydroponics book (2015; author and year MEMORY), abstract READ: 100/85 x 30 printed as 35.
    assert seeds_to_sow(30, 85) == 36
    assert round(30 * 100 / 85) == 35


def test_legal_minima_on_the_cards_are_those_of_the_regulation() -> None:
    # 7 CFR 201.31 (1994), READ. A card's note names the kind the regulation lists it as.
    checked = 0
    for found in cards():
        figure = found.figures.get("germination_percent_legal_min")
        if figure is not None:
            kind = figure.note.removeprefix("kind listed as ")
            assert {MINIMUM[part] for part in kind.split(" and ")} == {figure.typical}, found.name
            checked += 1
    assert checked == 41


def recut_basil() -> Crop:
    """The four-cut basil trial as the planner sees it."""
    uvi = quantities("uvi_basil")
    interval = int(uvi["recut_interval"])
    stages = (
        Stage(kind=StageKind.TRAY, unit="tray", plants_per_unit=128, days=21, wait=4, survival=8000),
        Stage(kind=StageKind.RAFT, unit="raft", plants_per_unit=12, days=interval, wait=5, survival=9500),
    )
    return Crop(
        name="Basil",
        code="BAS",
        variety="",
        card="basil_genovese",
        route=stages,
        cuts=int(uvi["recut_cuts"]),
        cut_interval=interval,
        saleable=WHOLE_SHARE,
        lanes=frozenset(),
        sowing=((0, 0),),
        seed_share=8000,
        margin=0,
        handling=Handling(),
        minutes=Minutes(),
    )


def test_basil_cut_four_times_holds_its_hole_112_days() -> None:
    # Ferrarezi & Bailey, University of the Virgin Islands, READ: 16.15 plants/m2, 4 cuts at 28 d,
    # 11.36 kg/m2 in all.
    uvi, basil = quantities("uvi_basil"), recut_basil()
    assert days_hole_held(basil.finish.days, basil.cuts, basil.cut_interval) == 112
    per_cut = uvi["recut_total"] / basil.cuts
    assert per_cut == pytest.approx(2.84)
    assert round(per_cut * 1000 / uvi["recut_density"]) == 176
    on_card = card("basil_genovese")
    assert on_card.value("cuts") == basil.cuts
    assert on_card.value("cut_interval") == basil.cut_interval
    assert on_card.figures["yield_per_plant"].high == 176


def test_a_2_by_4_raft_holds_12_of_the_trial_basil() -> None:
    # Ferrarezi & Bailey, READ: 1.5 plants per square foot, so 12 on 8 square feet.
    uvi = quantities("uvi_basil")
    assert plants_per_m2(12, WIDTH_MM, LENGTH_MM) == pytest.approx(uvi["recut_density"], abs=0.005)


def test_the_butterhead_card_is_the_rutgers_line() -> None:
    # Both, Rutgers, READ: 12, 10 and 14 days, 36 in all; 81 and 28 plants/m2; lids 3 d, culling on day 6.
    rutgers, butterhead = quantities("rutgers_lettuce"), card("lettuce_butterhead")
    pairs = {
        "days_tray": "days_seedling",
        "days_board": "days_first_spacing",
        "days_raft": "days_final_spacing",
        "days_total": "days_total_stages",
        "plants_per_m2_board": "first_density",
        "plants_per_m2_raft": "final_density",
        "dome_days": "humidity_lids_on",
        "thin_day": "cull_weak_seedlings",
    }
    assert {name: butterhead.value(name) for name in pairs} == {
        name: rutgers[quantity] for name, quantity in pairs.items()
    }
    assert math.ceil(rutgers["seeds_sown_per_day"] / 98) == 13, "slabs of 98 plugs a day"


KEEPING = table("keeping")


@pytest.mark.parametrize(
    ("name", "produce", "source"),
    [
        ("lettuce_butterhead", "leaf and bibb lettuce", "ne_veg_guide_t16"),
        ("lettuce_green_leaf", "leaf and bibb lettuce", "ne_veg_guide_t16"),
        ("lettuce_romaine", "romaine lettuce", "ne_veg_guide_t16"),
        ("basil_genovese", "basil", "ne_veg_guide_t16"),
        ("basil_thai", "basil", "ne_veg_guide_t16"),
        ("kale_curly", "kale and collards", "ne_veg_guide_t16"),
        ("kale_lacinato", "kale and collards", "ne_veg_guide_t16"),
        ("collards", "kale and collards", "ne_veg_guide_t16"),
        ("parsley_flat", "parsley", "ne_veg_guide_t16"),
        ("cucumber", "cucumber", "ne_veg_guide_t16"),
        ("scallion", "green onion", "ne_veg_guide_t16"),
        ("mint", "herbs, most", "ucdavis_herbs"),
        ("swiss_chard", "chard and leafy greens", "canada_storage_table"),
    ],
)
def test_keeping_days_lie_within_the_published_life(name: str, produce: str, source: str) -> None:
    # New England Vegetable Management Guide table 16; Cantwell & Reid, UC Davis; Canadian table. All READ.
    lives = [row for row in KEEPING if (row["produce"], row["source_id"]) == (produce, source)]
    assert lives
    shortest = min(float(row["value"]) for row in lives)
    longest = max(float(row["longest"]) for row in lives)
    assert shortest <= (card(name).value("keeping_days") or 0) <= longest


def test_where_sources_disagree_on_kale_the_shorter_life_is_taken() -> None:
    # 1-2 weeks (New England guide) against 2-3 weeks (Canadian table), both READ.
    longer = min(float(row["value"]) for row in KEEPING if row["produce"] == "kale")
    assert (card("kale_curly").value("keeping_days") or 0) < longer
