"""Notes a grower would want: each is given when it should be, with its cell, and not otherwise."""

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest
from farms import STAGES
from helpers import TABLES, crops_csv, write_book

from scheduler.book.book import read_book
from scheduler.farm.advice import advice, longest_gap
from scheduler.farm.advice.load import average_slots, slots_needed
from scheduler.farm.build import build_farm
from scheduler.farm.crops import StageKind

ORDERS = "order,customer,product,amount,weekdays,from,to,greatest_age\n"
LATE = ORDERS + "R1,Harbour Table,Butterhead head,12,Tue Fri,2026-05-01,,\n"
"""An order that starts when new sowings can reach it."""

GROWING = "lot,crop,stage,place,since,plants,units,order\n"


def notes(
    folder: Path,
    settings: Mapping[str, str | None] | None = None,
    today: date | None = None,
    **tables: str | None,
) -> list[str]:
    book = read_book(write_book(folder, {"weeks": "12", **(settings or {})}, **{"orders": LATE, **tables}))
    return [str(note) for note in advice(build_farm(book, today=today), book)]


CREW = "weekdays,hours\nMon-Fri,6\n"
NO_HOURS = "so this work takes none of the crew's hours; 0 says that it is meant"
TIMED = {
    "sow_minutes": "6",
    "board_minutes": "7",
    "raft_minutes": "4",
    "cut_minutes": "0.5",
    "wash_minutes": "0",
}


def test_a_sound_book_gets_no_notes(tmp_path: Path) -> None:
    assert notes(tmp_path) == []


@pytest.mark.parametrize(
    ("blank", "cell", "said"),
    [
        ((), None, ""),
        (("cut_minutes",), "crops!O2", "cut_minutes"),
        (
            ("sow_minutes", "cut_minutes", "wash_minutes"),
            "crops!L2",
            "sow_minutes, cut_minutes or wash_minutes",
        ),
    ],
)
def test_work_without_minutes_is_told_where_a_crew_has_hours(tmp_path, blank, cell, said):
    crops = crops_csv(**{name: "" if name in blank else minutes for name, minutes in TIMED.items()})
    assert notes(tmp_path, crops=crops) == []
    told = f"{cell}: 'Butterhead' has no {said}, {NO_HOURS}"
    assert notes(tmp_path, crops=crops, crew=CREW) == ([told] if blank else [])


def test_work_in_beds_without_minutes_is_told_and_what_a_card_knows_is_not(tmp_path):
    beds = {
        "beds": "bed,positions\nTunnel bed 1,40\n",
        "crops": "crop,card,code,picks_a_week,yield_in,yield_per_plant,pick_weeks,pick_minutes\n"
        "Cucumber,cucumber,CUC,3,pieces,20,,0.4\n",
        "products": "product,crop\nCucumber,Cucumber\n",
        "orders": LATE.replace("Butterhead head", "Cucumber").replace("05-01", "08-21"),
        "troughs": None,
        "board_zones": None,
    }
    assert notes(tmp_path, {"weeks": "26"}, **beds) == []
    assert notes(tmp_path, {"weeks": "26"}, crew=CREW, **beds) == [
        f"crops!A2: 'Cucumber' has no bed_minutes or clear_minutes, {NO_HOURS}"
    ]


@pytest.mark.parametrize(
    ("tables", "expected"),
    [
        (
            {"products": TABLES["products"] + "Loose leaf,Butterhead\n"},
            "products!A3: nobody orders 'Loose leaf', so none is grown for it",
        ),
        (
            {"crops": TABLES["crops"] + TABLES["crops"].splitlines()[1].replace("Butterhead", "Romaine")},
            "crops!A3: no product uses 'Romaine', so it is not sown",
        ),
        (
            {"equipment": TABLES["equipment"].replace("raft,36,,40", "raft,36,,0")},
            "equipment!E4: none of '36-hole raft' is owned, and crops need it",
        ),
        (
            {"crops": crops_csv(lanes="North trough 1")},
            "troughs!A2: no crop may be finished in 'North trough 2'",
        ),
        (
            {"crops": crops_csv(wait_tray="2")},
            "crops!C2: 'Butterhead' may wait 2 days in the tray, but transplant days (Mon Thu) lie up to 4 "
            "days apart; batches that would find none are not sown",
        ),
        (
            {"crops": crops_csv(harvest_window="1")},
            "crops!G2: 'Butterhead' may wait 1 day on the raft, but harvest days (Mon Wed Fri) lie up to 3 "
            "days apart; batches that would find none are not sown",
        ),
        (
            {"crops": crops_csv(margin_percent="80")},
            "crops!L2: a margin of 80 percent: 211 cells are sown for 100 seedlings of 'Butterhead'",
        ),
        (
            {"crops": crops_csv(margin_percent="0.15")},
            "crops!L2: a margin of 0.15 percent adds next to nothing to 'Butterhead'; a share of 0.15 is 15 "
            "percent",
        ),
        (
            {"orders": LATE + "R2,H,Butterhead head,5,Mon,,2026-02-20,\n"},
            "orders!G3: 2026-02-20 lies before the first day of the plan, 2026-03-02; nothing is delivered",
        ),
        (
            {"orders": LATE + "R2,H,Butterhead head,5,Mon,2026-08-03,,\n"},
            "orders!F3: 2026-08-03 lies after the last day of the plan, 2026-05-24",
        ),
        (
            {"sowing_windows": "crop,from,to\nButterhead,2026-03-02,\nButterhead,2026-03-03,2026-03-04\n"},
            "sowing_windows!B3: no sowing day falls within this window of 'Butterhead'",
        ),
        (
            {"sowing_windows": "crop,from,to\nButterhead,2026-03-02,\nButterhead,,2026-02-04\n"},
            "sowing_windows!C3: this window of 'Butterhead' lies outside the plan and changes nothing",
        ),
        (
            {"order_changes": "order,from,change\nR1,2026-05-02,skip\n"},
            "order_changes!B2: 'R1' has no delivery between these days, so nothing changes",
        ),
        (
            {"growing": GROWING + ",Butterhead,raft,North trough 1,2026-01-26,36,1,\n"},
            "growing!E2: 'BUT-260126' is past its last good day for the next step; it is planned first or "
            "thrown away",
        ),
        (
            {"growing": GROWING + "Early,Butterhead,raft,North trough 1,2026-02-20,36,1,\n"},
            "growing!B2: nobody orders in time what 'Early' can give, so it is thrown away on the first day; "
            "give it a target if you can sell it",
        ),
        (
            {
                "deliveries": "customer,product,amount,date\n"
                "H,Butterhead head,1,2026-03-06\nH,Butterhead head,1,2026-03-16\n",
                "growing": GROWING
                + "Young,Butterhead,raft,North trough 1,2026-02-20,36,1,\n"
                + "Old,Butterhead,raft,North trough 1,2026-02-10,36,1,\n",
            },
            "growing!H3: 'Old' stands behind rafts that came into 'North trough 1' after it",
        ),
    ],
)
def test_what_is_odd_is_told_with_its_cell(
    tmp_path: Path, tables: dict[str, str | None], expected: str
) -> None:
    assert notes(tmp_path, **tables) == [expected]


def test_deliveries_too_early_are_told_once_an_order_with_the_earliest_day(tmp_path: Path) -> None:
    assert notes(tmp_path, orders=TABLES["orders"]) == [
        "orders!A2: 14 deliveries, the first on 2026-03-03, come too early for a sowing from 2026-03-02 on, "
        "and what grows does not cover it; the earliest is 2026-04-20"
    ]


def test_one_delivery_too_early_is_told_at_its_date(tmp_path: Path) -> None:
    table = "customer,product,amount,date\nH,Butterhead head,30,2026-03-20\n"
    assert notes(tmp_path, deliveries=table) == [
        "deliveries!D2: 2026-03-20 comes too early for a sowing from 2026-03-02 on, and what grows does not "
        "cover it; the earliest is 2026-04-20"
    ]


@pytest.mark.parametrize(("plants", "told"), [(32, 0), (31, 1)])
def test_what_grows_covers_an_early_delivery_or_does_not(tmp_path: Path, plants: int, told: int) -> None:
    # 32 plants x 0.97 are 31 heads
    table = "customer,product,amount,date\nH,Butterhead head,31,2026-03-20\n"
    grows = GROWING + f",Butterhead,raft,North trough 1,2026-02-26,{plants},1,\n"
    assert len(notes(tmp_path, deliveries=table, growing=grows)) == told


@pytest.mark.parametrize(("day", "told"), [("2026-03-29", 0), ("2026-03-30", 2)])
def test_what_grows_covers_only_what_it_can_be_cut_fresh_for(tmp_path: Path, day: str, told: int) -> None:
    # on the raft since 27 February: from 20 March to the 27th, a Friday, and two days in the cooler;
    # a day later nobody orders what grows either, which is a note of its own
    table = f"customer,product,amount,date\nH,Butterhead head,10,{day}\n"
    grows = GROWING + ",Butterhead,raft,North trough 1,2026-02-27,36,1,\n"
    assert len(notes(tmp_path, deliveries=table, growing=grows)) == told


@pytest.mark.parametrize(("heads", "told"), [(10, 0), (9, 1)])
def test_what_is_cut_and_ready_covers_an_early_delivery_or_does_not(
    tmp_path: Path, heads: int, told: int
) -> None:
    deliveries = "delivery,customer,product,amount,date\nD1,H,Butterhead head,10,2026-03-03\n"
    ready = (
        "order,date,product,crop,lot,cut,heads\n"
        f"D1,2026-03-03,Butterhead head,Butterhead,G0,2026-03-01,{heads}\n"
    )
    assert len(notes(tmp_path, deliveries=deliveries, ready=ready)) == told


def test_what_is_cut_and_ready_needs_no_harvest_day(tmp_path: Path) -> None:
    # no harvest day on 2 and 3 March
    shut = {"closures": "from,to,work\n2026-03-01,2026-03-03,harvest\n"}
    deliveries = "delivery,customer,product,amount,date,greatest_age\nD1,H,Butterhead head,10,2026-03-03,2\n"
    ready = (
        "order,date,product,crop,lot,cut,heads\nD1,2026-03-03,Butterhead head,Butterhead,G0,2026-03-01,10\n"
    )
    assert any("no harvest day" in told for told in notes(tmp_path, deliveries=deliveries, **shut))
    assert notes(tmp_path, deliveries=deliveries, ready=ready, **shut) == []


def test_a_product_that_only_an_outlet_sells_is_no_product_without_a_buyer(tmp_path: Path) -> None:
    products = TABLES["products"] + "Loose leaf,Butterhead\n"
    outlets = "outlet,product,weekdays,amount,price\nMarket,Loose leaf,Sat,20,2.00\n"
    assert notes(tmp_path, products=products, outlets=outlets) == []


def test_a_growing_row_is_told_at_its_own_cell_though_another_has_its_code(tmp_path: Path) -> None:
    grows = GROWING + (
        "Early,Butterhead,raft,North trough 1,2026-02-20,36,1,\n"
        "Early,Butterhead,raft,North trough 2,2026-02-20,36,1,\n"
    )
    assert [told.split(" can give")[0] for told in notes(tmp_path, growing=grows)] == [
        "growing!B2: nobody orders in time what 'Early'",
        "growing!B3: nobody orders in time what 'Early-2'",
    ]


def test_each_head_that_grows_covers_one_early_delivery(tmp_path: Path) -> None:
    # 36 plants x 0.97 are 34 heads: the second delivery of 20 finds 14
    table = "customer,product,amount,date\nH,Butterhead head,20,2026-03-20\nH,Butterhead head,20,2026-03-23\n"
    grows = GROWING + ",Butterhead,raft,North trough 1,2026-02-26,36,1,\n"
    (told,) = notes(tmp_path, deliveries=table, growing=grows)
    assert told.startswith("deliveries!D3: 2026-03-23 comes too early")


def test_later_days_are_counted_from_today(tmp_path: Path) -> None:
    orders = LATE.replace("2026-05-01", "2026-04-21")
    assert notes(tmp_path, orders=orders) == []
    told = notes(tmp_path, today=date(2026, 3, 9), orders=orders)
    assert len(told) == 1
    assert told[0].endswith("the earliest is 2026-04-27")


def test_an_order_that_no_harvest_day_can_fill_is_told(tmp_path: Path) -> None:
    row = "R1,Harbour Table,Butterhead head,12,Tue Fri Sun,2026-04-20,,{}\n"
    assert notes(tmp_path, orders=ORDERS + row.format(1)) == [
        "orders!E2: 5 of 15 deliveries, the first on Sunday 2026-04-26, cannot be filled: no harvest day on "
        "it or the day before"
    ]
    assert notes(tmp_path, orders=ORDERS + row.format(2)) == []


def test_an_order_that_no_batch_is_fresh_for_is_told(tmp_path: Path) -> None:
    # onto rafts on Monday and Thursday, ready 21 days later to the day, cut on Monday, Wednesday and Friday
    orders = ORDERS + "R1,Harbour Table,Butterhead head,12,Tue Fri,2026-04-27,,{}\n"
    few = crops_csv(harvest_window="0")
    told = [each for each in notes(tmp_path, orders=orders.format(1), crops=few) if "orders!" in each]
    assert told == [
        "orders!E2: 4 of 8 deliveries, the first on Friday 2026-05-01, cannot be filled: nothing sown on a "
        "sowing day is ready on a harvest day near enough; another day of sowing, harvest or delivery, or a "
        "longer harvest_window, hold_days or greatest_age, would help"
    ]
    told = notes(tmp_path, orders=orders.format(1), crops=crops_csv(harvest_window="1"))
    assert [each for each in told if "orders!" in each] == []


def test_deliveries_on_closed_days_are_told(tmp_path: Path) -> None:
    orders = LATE.replace("2026-05-01", "2026-04-20")
    told = notes(tmp_path, orders=orders, closures="from,work\n2026-04-24,all\n")
    assert told == [
        "orders!E2: the delivery on 2026-04-24 falls on a closed day; skip it in order_changes, unless you "
        "deliver all the same"
    ]
    told = notes(tmp_path, orders=orders, closures="from,to,work\n2026-04-21,2026-04-24,all\n")
    assert told[-1] == (
        "orders!E2: 2 deliveries fall on closed days, the first on 2026-04-21; skip them in order_changes, "
        "unless you deliver all the same"
    )


def test_boards_and_rafts_of_few_holes_and_of_many_plants_are_told(tmp_path: Path) -> None:
    equipment = TABLES["equipment"].replace("36-hole raft,raft,36", "18-hole raft,raft,18")
    card = "crop,card\nButterhead,lettuce_butterhead\n"
    assert notes(tmp_path, crops=card, equipment=equipment) == [
        "crops!A2: '18-hole raft' has 18 holes; the card's spacing would take 20 plants of 'Butterhead'"
    ]
    crowded = "crop,card,plants_per_raft\nButterhead,lettuce_butterhead,36\n"
    assert notes(tmp_path, crops=crowded) == [
        "crops!C2: 36 plants of 'Butterhead' on one raft; the card's closest spacing gives 28"
    ]


FEW = {
    "troughs": "trough,width,length,raft_width,raft_length,lie\nNorth trough,2,16,2,4,along\n",
    "board_zones": "trough,slots_per_row\nNorth trough,1\n",
}
"""One row of four slots, one of which holds a board: three rafts of 36."""


def test_orders_that_need_more_slots_than_there_are_are_told(tmp_path: Path) -> None:
    # 8 weeks, 112 heads on the last day: 112 / 56 days / 0.97 / 36 x 21 days = 1.2 rafts
    table = "customer,product,amount,date\nH,Butterhead head,{},2026-04-24\n"
    book = read_book(write_book(tmp_path, orders=None, deliveries=table.format(112), **FEW))
    farm = build_farm(book)
    assert float(slots_needed(farm, StageKind.RAFT)) == pytest.approx(112 / 56 / 0.97 / 36 * 21)
    assert float(slots_needed(farm, StageKind.BOARD)) == pytest.approx(112 / 56 / 0.97 / 0.97 / 72 * 14)
    assert float(slots_needed(farm, StageKind.TRAY)) == pytest.approx(
        112 / 56 / 0.97 / 0.97 / 0.7772 / 98 * 14
    )
    assert [average_slots(farm, kind) for kind in STAGES] == [8, 1, 3]
    assert advice(farm, book) == []
    assert notes(tmp_path, {"weeks": "8"}, orders=None, deliveries=table.format(300), **FEW) == [
        "troughs!A2: the orders need about 3 of 3 raft slots on average; some deliveries will be short",
        "board_zones!A2: the orders need about 1 of 1 board slots on average; some deliveries will be short",
    ]


@pytest.mark.parametrize(
    ("heads", "told"),
    [
        (239, []),
        (240, ["little room is left for what does not fit evenly"]),
        (266, ["little room is left for what does not fit evenly"]),
        (267, ["some deliveries will be short"]),
    ],
)
def test_orders_that_need_more_rafts_than_are_owned_are_told(
    tmp_path: Path, heads: int, told: list[str]
) -> None:
    # 8 weeks: 267 / 56 days / 0.97 / 36 x (21 days and one of washing) = 3.004 rafts
    table = f"customer,product,amount,date\nH,Butterhead head,{heads},2026-04-24\n"
    owned = TABLES["equipment"].replace("36-hole raft,raft,36,,40,1", "36-hole raft,raft,36,,3,1")
    found = notes(tmp_path, {"weeks": "8"}, orders=None, deliveries=table, equipment=owned)
    about = "equipment!E4: the orders need about 3 of 3 '36-hole raft' on average, days of washing counted; "
    assert [note for note in found if "need" in note] == [about + each for each in told]


def test_the_longest_gap_between_weekdays_goes_round_the_week() -> None:
    assert longest_gap(frozenset({0, 3})) == 4
    assert longest_gap(frozenset({2})) == 7
    assert longest_gap(frozenset(range(7))) == 1


BEANS = {
    "beds": "bed,positions\nBed 1,60\n",
    "crops": TABLES["crops"].splitlines()[0]
    + ",finish,days_bed,survival_bed_percent,picks_a_week,yield_in\n"
    + "".join(f"{line},,,,,\n" for line in TABLES["crops"].splitlines()[1:])
    + "Bean,14,3,,,,,95,90,,,bed,28,100,1,pieces\n",
    "yield_curve": "crop,week,yield_per_plant\nBean,1,2\nBean,2,6\n",
    "products": TABLES["products"] + "Beans,Bean\n",
}
"""Set in on 2 February, beans are picked on one day of each week from 2 and from 9 March."""


@pytest.mark.parametrize(
    ("day", "amount", "told"),
    [
        ("2026-03-06", 80, 0),
        ("2026-03-06", 81, 1),
        ("2026-03-13", 240, 0),
        ("2026-03-13", 241, 1),
    ],
)
def test_what_a_bed_gives_week_by_week_covers_early_deliveries(
    tmp_path: Path, day: str, amount: int, told: int
) -> None:
    # 40 plants give 80 beans in the first week and 240 in the second
    grows = GROWING + ",Bean,bed,Bed 1,2026-02-02,40,40,\n"
    table = f"customer,product,amount,date\nH,Beans,{amount},{day}\n"
    found = notes(tmp_path, deliveries=table, growing=grows, **BEANS)
    assert len([note for note in found if "comes too early" in note]) == told
