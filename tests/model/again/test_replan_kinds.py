"""Planning again farms of every kind: greens, boxes, outlets, units that lots share; every rule is kept."""

import pytest
from boxed_books import BOOK as BOXES
from folders import planned
from followed import Followed, told
from helpers import TABLES
from recorded import CROPS, PRODUCTS
from seeds import sample

from scheduler.model.settings import SolveSettings
from scheduler.plan.audit import audit, fault_lines

EFFORT = SolveSettings(seconds=0.015, deterministic=True)
ORDERS = (
    "order,customer,product,amount,weekdays,from,kind\n"
    "R1,Harbour Table,Butterhead head,12,Tue Fri,2026-04-24,firm\n"
    "R2,Linnet Kitchen,Basil,8,Wed,2026-04-15,firm\n"
)
HEADING, *ROWS = CROPS.splitlines()
GREENS = "\n".join(
    [
        f"{HEADING},card,tray",
        *(f"{row},,98-cell tray" for row in ROWS),
        f"Cress,CRE,{',' * (HEADING.count(',') - 2)},micro_pea,open tray\n",
    ]
).replace("Cress,CRE,,,,,,,,,", "Cress,CRE,,,,,,3,2,9,")
OF_GREENS = "product,crop,mass_per_unit\n" + "".join(f"{row},\n" for row in PRODUCTS.splitlines()[1:])
MARKET = "outlet,product,weekdays,amount,price,greatest_age\nMarket,Butterhead head,Sat,12,2.00,3\n"
SHARING = {"share_trays": "yes", "share_boards": "yes", "share_rafts": "yes"}
CASES = {
    "greens": {
        "crops": GREENS,
        "products": f"{OF_GREENS}Cress bag,Cress,0.1\n",
        "equipment": f"{TABLES['equipment']}open tray,tray,1,,10,1\n",
        "orders": f"{ORDERS}R3,Linnet Kitchen,Cress bag,3,Tue,2026-03-17,firm\n",
    },
    "boxes": {**BOXES, "box_shares": BOXES["box_shares"].replace("2026-03-27", "2026-05-22")},
    "outlets": {"crops": CROPS, "products": PRODUCTS, "orders": ORDERS, "outlets": MARKET},
    "sharing": {
        "crops": CROPS,
        "products": PRODUCTS,
        "orders": ORDERS.replace(",12,", ",5,").replace(",8,", ",3,"),
        "settings": SHARING,
    },
}
FIRST = {
    kind: SolveSettings(seconds=units, deterministic=True)
    for kind, units in (("greens", 0.03), ("boxes", 0.03), ("outlets", 0.2), ("sharing", 0.1))
}
"""Kind -> what its first plan takes."""


@pytest.mark.parametrize("kind", sample(("greens", "boxes", "outlets"), ("sharing",)))
def test_weeks_of_loss_and_planning_again_keep_every_rule(tmp_path, kind):
    case = dict(CASES[kind])
    settings = {"weeks": "10", **case.pop("settings", {})}
    made = planned(tmp_path, effort=FIRST[kind], settings=settings, **case)
    farm = Followed(made.book, made.farm, made.plan)
    filled = 0
    for day in (14, 35):
        farm.until(day)
        content = max((c for unit in farm.state(day).units for c in unit.contents), key=lambda c: c.plants)
        farm.tell(told("lost", day - 1, lot=content.lot, plants=max(1, content.plants // 2)))
        plan = farm.again(day, EFFORT)
        assert fault_lines(audit(farm.farm, plan)) == [], day
        filled = sum(row.filled for row in plan.demands)
    assert filled
    assert {row.lot for row in farm.plan.lots if row.origin == "growing"}


def test_heads_cut_for_boxes_that_go_out_later_are_told_and_in_no_book(tmp_path):
    case = dict(CASES["boxes"])
    settings = {"weeks": "10", **case.pop("settings", {})}
    made = planned(tmp_path, effort=FIRST["boxes"], settings=settings, **case)
    places = {demand.name: demand for demand in made.farm.demands if demand.name in made.farm.boxes.places}
    wait = [(row, places[row.demand]) for row in made.plan.fills if row.demand in places]
    row, place = next((row, place) for row, place in wait if row.cut_day < place.first)
    farm = Followed(made.book, made.farm, made.plan)
    farm.until(place.first)
    plan = farm.again(place.first, EFFORT)
    assert fault_lines(audit(farm.farm, plan)) == []
    told = f"of {row.crop} wait in the cooler for {place.order} on {made.farm.date_of(place.first)}"
    assert any(told in note for note in farm.made.notes)
    assert not any(demand.ready for demand in farm.farm.demands if demand.name in farm.farm.boxes.places)
