"""Notes on seed: crops that would get none, and stock that ends before an order could come."""

from datetime import date
from pathlib import Path

import pytest
from helpers import TABLES, crops_csv, write_book

from scheduler.book.book import read_book
from scheduler.farm.advice import advice
from scheduler.farm.build import build_farm

HEADING = "item,kind,crop,product,in_stock,pack_size,lead_days,spare_percent,order_days\n"
ROW = "Seed,seed,Butterhead,,{},1000,{},{},{}\n"
BOX = "Box,packaging,,Butterhead head,0,25,20,,\n"
ORDERS = "order,customer,product,amount,weekdays,from\nR1,H,Butterhead head,12,Tue Fri,2026-04-21\n"
"""A sowing on the first day can first be cut on Monday, 20 April, day 49."""


def notes(folder: Path, today: date | None = None, **tables: str) -> list[str]:
    book = read_book(write_book(folder, {"weeks": "12"}, **{"orders": ORDERS, **tables}))
    return [str(note) for note in advice(build_farm(book, today=today), book)]


def stocked(stock: int, lead: int = 7, spare: str = "", days: str = "") -> str:
    return HEADING + ROW.format(stock, lead, spare, days)


def test_two_deliveries_need_seed_that_is_sown_before_an_order_comes(tmp_path: Path) -> None:
    # the deliveries of 21 and 24 April: 24 heads / 0.97 are 25 plants, / 0.97 are 26 seedlings, and the
    # cells for those at 0.95 x 0.9 / 1.1 each are 34
    assert notes(tmp_path, supplies=stocked(33)) == [
        "supplies!E2: the deliveries need about 34 seeds of 'Butterhead' sown before an order placed on "
        "2026-03-02 comes on 2026-03-09; 33 are in stock"
    ]
    assert notes(tmp_path, supplies=stocked(34)) == []


@pytest.mark.parametrize(
    ("changes", "need"),
    [({"lead": 0}, 0), ({"lead": 14}, 67), ({"spare": "50"}, 51), ({"days": "Tue"}, 52)],
)
def test_lead_days_spare_and_order_days_count(tmp_path: Path, changes: dict[str, object], need: int) -> None:
    if need:
        assert len(notes(tmp_path, supplies=stocked(need - 1, **changes))) == 1
    assert notes(tmp_path, supplies=stocked(need, **changes)) == []


def test_what_grows_already_needs_no_seed(tmp_path: Path) -> None:
    growing = "crop,stage,place,since,plants,units\nButterhead,raft,North trough 1,2026-02-26,{},1\n"

    def of_seed(plants: int) -> list[str]:
        found = notes(tmp_path, supplies=stocked(0), growing=growing.format(plants))
        return [note for note in found if note.startswith("supplies!")]

    assert of_seed(25) == []
    assert len(of_seed(24)) == 1


def test_several_seeds_in_a_cell_and_several_cuts_count(tmp_path: Path) -> None:
    assert len(notes(tmp_path, supplies=stocked(90), crops=crops_csv(seeds_per_cell="3"))) == 1
    twice = crops_csv(cuts="2", cut_interval="14")
    assert notes(tmp_path, supplies=stocked(19), crops=twice) == []


def test_a_delivery_that_another_crop_can_fill_asks_for_no_seed_of_one(tmp_path: Path) -> None:
    crops = TABLES["crops"] + TABLES["crops"].splitlines()[1].replace("Butterhead", "Oakleaf") + "\n"
    products = "product,crop\nButterhead head,Butterhead\nButterhead head,Oakleaf\n"
    both = stocked(0) + "Other seed,seed,Oakleaf,,0,1000,7,,\n"
    assert notes(tmp_path, crops=crops, products=products, supplies=both) == []


def test_days_count_from_today(tmp_path: Path) -> None:
    told = notes(tmp_path, today=date(2026, 3, 9), supplies=stocked(0))
    assert "sown before an order placed on 2026-03-09 comes on 2026-03-16" in told[-1]


def test_a_crop_without_seed_to_order_is_told_only_where_seed_is_ordered_at_all(tmp_path: Path) -> None:
    crops = TABLES["crops"] + TABLES["crops"].splitlines()[1].replace("Butterhead", "Oakleaf") + "\n"
    products = TABLES["products"] + "Oakleaf head,Oakleaf\n"
    orders = ORDERS + "R2,H,Oakleaf head,5,Fri,2026-04-21\n"
    tables = {"crops": crops, "products": products, "orders": orders}
    assert notes(tmp_path, **tables) == []
    assert notes(tmp_path, **tables, supplies=HEADING + BOX) == []
    assert notes(tmp_path, **tables, supplies=stocked(500)) == [
        "crops!A3: 'Oakleaf' has no row in supplies, so no seed is ordered for it"
    ]


def test_a_plant_in_a_bed_gives_all_that_it_yields_over_its_picking_weeks(tmp_path: Path) -> None:
    heading, *rows = TABLES["crops"].splitlines()
    tables = {
        "crops": f"{heading},finish,days_bed,survival_bed_percent,pick_weeks,picks_a_week,yield_in,"
        "yield_per_plant,margin_percent\n"
        + "".join(f"{row},,,,,,,,\n" for row in rows)
        + "Tomato,14,3,,,,,95,90,,,bed,28,100,2,1,mass,4,0\n",
        "beds": "bed,positions\nBed 1,60\n",
        "products": "product,crop,mass_per_unit\nButterhead head,Butterhead,\nTomatoes,Tomato,1\n",
        "deliveries": "customer,product,amount,date\nH,Tomatoes,20,2026-04-17\n",
    }

    def of_tomatoes(stock: int, **more: str) -> list[str]:
        seed = stocked(500) + f"Tomato seed,seed,Tomato,,{stock},1000,7,,\n"
        found = notes(tmp_path, **tables, supplies=seed, **more)
        return [note for note in found if note.startswith("supplies!")]

    # 20 kg on 17 April are 5 plants of 4 kg, the cells for those at 0.95 x 0.9 each are 6
    assert of_tomatoes(6) == []
    assert len(of_tomatoes(5)) == 1
    growing = "crop,stage,place,since,plants,units\nTomato,bed,Bed 1,2026-03-02,{0},{0}\n"
    assert of_tomatoes(0, growing=growing.format(5)) == []
    assert len(of_tomatoes(0, growing=growing.format(4))) == 1
