"""Crops: the grower's figures over those of the card, shares, holes planted, codes."""

from fractions import Fraction
from pathlib import Path

import pytest
from helpers import TABLES, crops_csv, farm_of
from hypothesis import given
from hypothesis import strategies as st

from crops.library import card
from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.from_book.codes import code_options


def crop_of(folder: Path, **tables: str) -> Crop:
    return next(iter(farm_of(folder, **tables).crops.values()))


def test_a_crop_without_a_card_has_the_rows_own_figures(tmp_path: Path) -> None:
    crop = crop_of(tmp_path)
    assert [(s.kind, s.unit, s.days, s.wait) for s in crop.route] == [
        (StageKind.TRAY, "98-cell tray", 14, 3),
        (StageKind.BOARD, "72-hole board", 14, 3),
        (StageKind.RAFT, "36-hole raft", 21, 7),
    ]
    assert [s.plants_per_unit for s in crop.route] == [98, 72, 36]
    assert (crop.cuts, crop.cut_interval, crop.saleable) == (1, 0, 10_000)
    assert crop.lanes == {"North trough 1", "North trough 2"}


def test_own_figures_go_before_those_of_the_card(tmp_path: Path) -> None:
    crop = crop_of(
        tmp_path, crops="crop,card,days_raft,cut_minutes\nButterhead,lettuce_butterhead,25,0.750\n"
    )
    figures = card("lettuce_butterhead")
    assert crop.finish.days == 25
    assert crop.minutes.cut == 75
    assert crop.tray.days == figures.value("days_tray")
    assert crop.finish.wait == figures.value("harvest_window")
    assert crop.own_figures == (("days_raft", "25"), ("cut_minutes", "0.75"))


def test_losses_and_margin_are_whole_parts_of_ten_thousand(tmp_path: Path) -> None:
    crop = crop_of(tmp_path)
    assert crop.seed_share == 8550  # 0.95 x 0.90
    assert crop.margin == 1000
    assert crop.tray.survival == 7772  # 8550 / 1.1, rounded down
    assert [stage.survival for stage in crop.route[1:]] == [9700, 9700]


def test_more_seeds_in_a_cell_leave_fewer_cells_empty(tmp_path: Path) -> None:
    table = crops_csv(seeds_per_cell="3", germination_percent="60", margin_percent="0")
    crop = crop_of(tmp_path, crops=table)
    assert crop.seed_share == crop.tray.survival == 8424  # (1 - 0.4^3) x 0.90 = 0.8424


@given(st.integers(1, 100), st.integers(1, 9), st.integers(1, 100))
def test_the_share_of_good_cells_never_exceeds_what_germination_and_survival_give(
    germination: int, seeds: int, survival: int
) -> None:
    from scheduler.farm.from_book.crops import seed_share

    share = seed_share(Fraction(germination), seeds, Fraction(survival))
    exact = (1 - (1 - Fraction(germination, 100)) ** seeds) * Fraction(survival, 100)
    assert Fraction(share, 10_000) <= exact < Fraction(share + 1, 10_000)


def test_holes_planted_follow_the_cards_spacing_and_the_size_of_raft_and_board(tmp_path: Path) -> None:
    crop = crop_of(tmp_path, crops="crop,card\nButterhead,lettuce_butterhead\n")
    area = 0.3048**2 * 8  # 2 ft x 4 ft
    figures = card("lettuce_butterhead")
    density = figures.value("plants_per_m2_raft"), figures.value("plants_per_m2_board")
    assert crop.finish.plants_per_unit == int((density[0] or 0) * area) == 20
    assert crop.board is not None
    assert crop.board.plants_per_unit == int((density[1] or 0) * area) == 60


def test_holes_planted_are_never_more_than_there_are(tmp_path: Path) -> None:
    equipment = TABLES["equipment"].replace("36-hole raft,raft,36", "18-hole raft,raft,18")
    crop = crop_of(tmp_path, crops="crop,card\nButterhead,lettuce_butterhead\n", equipment=equipment)
    assert crop.finish.plants_per_unit == 18
    table = crops_csv(plants_per_raft="36", plants_per_board="72")
    assert [stage.plants_per_unit for stage in crop_of(tmp_path, crops=table).route] == [98, 72, 36]


def test_board_days_of_0_go_straight_from_tray_to_raft(tmp_path: Path) -> None:
    crop = crop_of(
        tmp_path, crops="crop,card,days_board\nButterhead,lettuce_butterhead,0\n", board_zones=None
    )
    assert [stage.kind for stage in crop.route] == ["tray", "raft"]


def test_a_card_without_boards_needs_no_board(tmp_path: Path) -> None:
    equipment = "\n".join(line for line in TABLES["equipment"].splitlines() if "board" not in line)
    crop = crop_of(tmp_path, crops="crop,card\nBasil,basil_genovese\n", equipment=equipment, **BASIL)
    assert [stage.kind for stage in crop.route] == ["tray", "raft"]
    figures = card("basil_genovese")
    assert (crop.cuts, crop.cut_interval) == (figures.value("cuts"), figures.value("cut_interval"))


BASIL = {
    "products": "product,crop\nBasil bunch,Basil\n",
    "orders": "order,customer,product,amount,weekdays\nR1,H,Basil bunch,5,Tue\n",
}


def test_lanes_may_be_troughs_and_rows(tmp_path: Path) -> None:
    troughs = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    crop = crop_of(tmp_path, troughs=troughs, crops=crops_csv(lanes="South trough; North trough 2"))
    assert crop.lanes == {"South trough 1", "South trough 2", "North trough 2"}


def test_only_rafts_a_crop_may_float_on_must_be_of_one_size(tmp_path: Path) -> None:
    troughs = TABLES["troughs"] + "South trough,4,24,2,3,along\n"
    crop = crop_of(
        tmp_path, troughs=troughs, crops="crop,card,lanes\nButterhead,lettuce_butterhead,South trough\n"
    )
    assert crop.finish.plants_per_unit == 15


def test_sowing_windows_become_days_and_a_crop_without_one_may_always_be_sown(tmp_path: Path) -> None:
    windows = (
        "crop,from,to\nButterhead,2026-03-09,2026-03-15\nButterhead,2026-04-01,\nButterhead,,2026-03-03\n"
    )
    farm = farm_of(tmp_path, sowing_windows=windows)
    assert farm.crops["Butterhead"].sowing == ((-400, 1), (7, 13), (30, farm.calendar.span))
    farm = farm_of(tmp_path, sowing_windows=None)
    assert farm.crops["Butterhead"].sowing == ((-400, farm.calendar.span),)


def test_codes_are_the_growers_or_made_from_the_name_and_never_alike(tmp_path: Path) -> None:
    row = TABLES["crops"].splitlines()[1]
    names = ["Butternut leaf", "Butter", "\u00c9pinard", "7"]
    crops = TABLES["crops"] + "".join(row.replace("Butterhead", name) + "\n" for name in names)
    codes = [crop.code for crop in farm_of(tmp_path, crops=crops).crops.values()]
    assert codes == ["BUT", "BL", "BUE", "EPI", "XAA"]
    assert crop_of(tmp_path, crops=crops_csv(code="bh")).code == "BH"


@given(st.text(max_size=12))
def test_any_name_gives_codes_of_two_to_four_capital_letters(name: str) -> None:
    options = code_options(name)
    for _, code in zip(range(30), options, strict=False):
        assert 2 <= len(code) <= 4
        assert code.isascii()
        assert code.isalpha()
        assert code.isupper()


def test_a_product_takes_the_rows_plants_else_the_cards_else_one(tmp_path: Path) -> None:
    row = TABLES["crops"].splitlines()[1]
    crops = TABLES["crops"] + row.replace("Butterhead", "Romaine") + "\n"
    products = (
        "product,crop,pack,plants_per_unit\nButterhead head,Butterhead,bag,2.5\nButterhead head,Romaine,,\n"
    )
    product = farm_of(tmp_path, crops=crops, products=products).products["Butterhead head"]
    assert (product.pack, product.sources) == ("bag", {"Butterhead": 2500, "Romaine": 1000})


@pytest.mark.parametrize("rows", ["", "14"])
def test_a_tray_is_split_by_rows_only_where_the_book_says_so(tmp_path: Path, rows: str) -> None:
    equipment = TABLES["equipment"].replace("tray,98,14", f"tray,98,{rows}")
    tray = farm_of(tmp_path, equipment=equipment).equipment["98-cell tray"]
    assert (tray.rows, tray.cells_per_row) == ((14, 7) if rows else (1, 98))
