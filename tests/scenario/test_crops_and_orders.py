"""Other crops and other amounts."""

from datetime import date
from itertools import permutations

import pytest
from helpers import TABLES
from scenarios import changed_of, farm_with, faults_with, one

from crops.library import card
from scheduler.scenario.losses import SHARES

JUNE = date(2026, 3, 30)
"""Day 28 of the small book."""

TWO = (
    TABLES["crops"] + "Oakleaf,14,3,14,3,21,7,95,90,97,97\n",
    TABLES["products"] + "Oakleaf head,Oakleaf\nButterhead head,Oakleaf\n",
)


def amounts(farm, order="R1"):
    return [(demand.first, demand.amount) for demand in farm.demands if demand.order == order]


def test_an_added_crop_is_sold_and_sown_from_its_day(tmp_path):
    card = "lettuce_oakleaf"
    text = one("add crop", crop="Oakleaf", product="Butterhead head", card=card, from_=JUNE)
    farm = farm_with(tmp_path, text)
    assert set(farm.products["Butterhead head"].sources) == {"Butterhead", "Oakleaf"}
    assert [farm.crops["Oakleaf"].may_sow(day) for day in (27, 28)] == [False, True]


def test_a_crop_that_is_cut_in_its_trays_is_added_with_the_mass_of_a_unit(tmp_path):
    trays = one("add equipment", name="open tray", item="tray", holes=1, more=8)
    shoots = one("add crop", crop="Pea", product="Pea bag", pack="bag", mass_per_unit=0.1, card="micro_pea")
    farm = farm_with(tmp_path, trays + shoots)
    assert farm.products["Pea bag"].sources == {"Pea": 100_000}
    assert farm.products["Pea bag"].pack == "bag"


def test_a_dropped_crop_is_sown_no_more_from_its_day(tmp_path):
    text = one("drop crop", crop="Oakleaf", from_=JUNE)
    farm = farm_with(tmp_path, text, crops=TWO[0], products=TWO[1])
    assert [farm.crops["Oakleaf"].may_sow(day) for day in (27, 28)] == [True, False]
    windows = "crop,from,to\nOakleaf,2026-04-06,\n"
    farm = farm_with(tmp_path, text, crops=TWO[0], products=TWO[1], sowing_windows=windows)
    assert not any(farm.crops["Oakleaf"].may_sow(day) for day in range(farm.calendar.span))


def test_a_dropped_crop_without_a_day_is_gone_and_what_was_sold_of_it_is_told(tmp_path):
    farm = farm_with(tmp_path, one("keep crops", crops=["Butterhead"]), crops=TWO[0], products=TWO[1])
    assert set(farm.crops) == {"Butterhead"}
    assert set(farm.products) == {"Butterhead head"}
    products = TABLES["products"] + "Oakleaf head,Oakleaf\n"
    text = one("drop crop", crop="Butterhead")
    (fault,) = faults_with(tmp_path, text, crops=TWO[0], products=products)
    assert fault.startswith("orders!C2: found 'Butterhead head', which is not in products; expected ")


def test_every_standing_order_rises_from_the_day_and_rounds_up(tmp_path):
    farm = farm_with(tmp_path, one("orders", percent=10, from_=JUNE))
    found = dict(amounts(farm))
    assert {found[day] for day in found if day < 28} == {12}
    assert {found[day] for day in found if day >= 28} == {14}, "13.2 rounds up"


def test_raises_multiply_with_the_book_s_own_changes_and_round_once_in_any_order(tmp_path):
    changes = "order,from,to,change,amount\nR1,2026-03-31,,times,2\n"
    texts = [one("orders", percent=percent) for percent in (10, 10.5, -3)]
    books = set()
    for order in permutations(texts):
        farm = farm_with(tmp_path, *order, order_changes=changes)
        books.add(tuple(amounts(farm)))
    (found,) = books
    assert dict(found)[1] == 15, "12 x 1.1 x 1.105 x 0.97 is 14.15"
    assert dict(found)[29] == 29, "twice that is 28.30"


def test_targets_and_single_deliveries_rise_too_and_only_those_asked_for(tmp_path):
    targets = "target,product,amount,from,to\n,Butterhead head,40,,2026-04-26\n"
    single = "customer,product,amount,date\nLinnet Kitchen,Butterhead head,7,2026-04-10\n"
    tables = {"targets": targets, "deliveries": single}
    farm = farm_with(tmp_path, one("orders", percent=50, from_=JUNE), **tables)
    assert amounts(farm, "Target 1") == [(7 * week, 40 if week < 4 else 60) for week in range(8)]
    assert amounts(farm, "Delivery 1") == [(39, 11)]
    farm = farm_with(tmp_path, one("orders", percent=50, customer=["Linnet Kitchen"]), **tables)
    assert {number for _, number in amounts(farm)} == {12}
    assert amounts(farm, "Delivery 1") == [(39, 11)]
    assert {number for _, number in amounts(farm, "Target 1")} == {40}


def test_a_split_target_keeps_the_name_the_book_gives_it_also_below_a_blank_row(tmp_path):
    targets = "target,product,amount,from,to\n,,,,\n,Butterhead head,40,,2026-04-26\n"
    (usual,) = {demand.order for demand in farm_with(tmp_path, targets=targets).demands} - {"R1"}
    farm = farm_with(tmp_path, one("orders", percent=50, from_=JUNE), targets=targets)
    assert amounts(farm, usual) == [(7 * week, 40 if week < 4 else 60) for week in range(8)]


def test_names_that_nobody_has_are_told_with_what_was_meant(tmp_path):
    text = one("orders", percent=5, product=["Buterhead head"], customer=["Nobody"])
    assert faults_with(tmp_path, text) == [
        "s1.toml: change 1 (orders), product: found 'Buterhead head'; expected 'Butterhead head'?"
    ]
    assert faults_with(tmp_path, one("orders", percent=5, customer=["Nobody"])) == [
        "s1.toml: change 1 (orders), customer: found 'Nobody'; expected one of 'Harbour Table'"
    ]


def test_any_row_of_any_table_can_be_added_set_and_dropped(tmp_path):
    text = one("add row", table="targets", product="Butterhead head", amount=30, target="Market")
    text += one("set", table="settings", row="lift_out", value=True)
    text += one("set", table="orders", row="R1", amount=20, price=2.5)
    text += one("drop row", table="deliveries", row="D1")
    single = "delivery,customer,product,amount,date\nD1,Linnet,Butterhead head,7,2026-04-10\n"
    farm = farm_with(tmp_path, text, deliveries=single)
    assert farm.rules.lift_out
    assert {demand.order for demand in farm.demands} == {"R1", "Market"}
    assert {(demand.amount, demand.price) for demand in farm.demands if demand.order == "R1"} == {(20, 250)}


def test_two_changes_may_not_ask_for_different_values_of_one_cell(tmp_path):
    texts = [one("set", table="orders", row="R1", amount=amount) for amount in (20, 30)]
    for order in permutations(texts):
        (fault,) = faults_with(tmp_path, *order)
        assert "found '30'; expected '20', which s" in fault
    assert faults_with(tmp_path, texts[0], texts[0]) == []


def test_an_unknown_column_or_row_or_table_is_told_at_its_key(tmp_path):
    assert faults_with(tmp_path, one("set", table="orders", row="R1", amounts=20)) == [
        "s1.toml: change 1 (set), amounts: found unknown key; expected 'amount'?"
    ]
    assert faults_with(tmp_path, one("set", table="orders", row="R2", amount=20)) == [
        "s1.toml: change 1 (set), row: found 'R2'; expected one of 'R1'"
    ]
    assert faults_with(tmp_path, one("set", table="order", row="R2", amount=20)) == [
        "s1.toml: change 1 (set), table: found 'order'; expected 'orders'?"
    ]
    assert faults_with(tmp_path, one("add row", table="targets", product="Butterhead head")) == [
        "s1.toml: change 1 (add row): found a blank cell; expected amount, such as 40"
    ]


def test_the_book_that_was_read_is_left_as_it_was(tmp_path):
    before = changed_of(tmp_path, one("orders", percent=0)).raw
    after = changed_of(tmp_path, one("orders", percent=0), one("set", table="orders", row="R1", amount=9)).raw
    assert before.tables["orders"] != after.tables["orders"]
    assert before.tables["crops"] == after.tables["crops"]


def kept(made, crop):
    """Return column -> percent that stay, of the shares that the row of a crop gives in a changed book."""
    (row,) = [row for row in made.book().rows("crops") if row.text("crop") == crop]
    return {column: float(row.number_of(column)) for column in SHARES if row.is_given(column)}


def test_several_changes_of_losses_multiply_at_every_stage(tmp_path):
    texts = [one("losses", percent=20), one("losses", percent=-50, crop=["Butterhead"])]
    crops = TWO[0].replace("Oakleaf,14,3,14,3,21,7,95,90,97,97", "Oakleaf,14,3,14,3,21,7,95,90,100,97")
    for order in permutations(texts):
        made = changed_of(tmp_path, *order, crops=crops, products=TWO[1])
        # of 5, 10, 3 and 3 in a hundred 1.2 x 0.5 times as many are lost, or 1.2 times
        assert list(kept(made, "Butterhead").values()) == [97, 94, 98.2, 98.2]
        assert list(kept(made, "Oakleaf").values()) == [94, 88, 100, 96.4]


def test_losses_that_a_card_tells_change_too_but_for_plugs_which_have_come_up(tmp_path):
    crops = "crop,card,start\nButterhead,lettuce_butterhead,\nPlug,lettuce_butterhead,plugs\n"
    made = changed_of(tmp_path, one("losses", percent=20), crops=crops)
    # the card: 95 come up, and of a hundred 93, 98 and 95 stay; all that is cut is sold
    told = {
        "germination_percent": "germination_percent_typical",
        "survival_tray_percent": "survival_tray",
        "survival_board_percent": "survival_board",
        "survival_raft_percent": "survival_raft",
    }
    of_card = {name: card("lettuce_butterhead").value(figure) for name, figure in told.items()}
    expected = {
        name: pytest.approx(100 - 1.2 * (100 - stays * (1 if stays > 1 else 100)))
        for name, stays in of_card.items()
    }
    assert kept(made, "Butterhead") == expected
    assert list(kept(made, "Plug")) == ["survival_board_percent", "survival_raft_percent"]


def test_losses_of_all_plants_are_refused_at_the_change(tmp_path):
    (fault,) = faults_with(tmp_path, one("losses", percent=900))
    assert fault.startswith("s1.toml: change 1 (losses), percent: found '0'")
    assert faults_with(tmp_path, one("losses", percent=890)) == []
