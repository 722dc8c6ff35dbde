"""Sound books to mutate: the examples, a starter book, and small ones that hold every table between them.

The small ones have crops of few days and three weeks, so that planning one takes no time.
"""

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from scheduler.reference import shared_folder

Grid = list[list[str]]
"""Rows of cells, the heading first."""

Tables = dict[str, Grid]

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ("alder-quay", "kestrel-bend", "osier-ford")

SETTINGS = """\
setting,value
farm,Alder Quay Greens
first_day,2026-03-02
weeks,3
sow_days,Mon Thu
transplant_days,Mon Thu
raft_days,Mon Thu
harvest_days,Mon Wed Fri
length_unit,m
mass_unit,kg
currency,EUR
hold_days,2
"""
FARM = {
    "settings": SETTINGS,
    "shelves": "shelf,tiers,trays_per_tier\nShelf A,2,4\n",
    "troughs": (
        "trough,width,length,raft_width,raft_length,lie\n"
        "North trough,1.25,7.2,0.6,1.2,along\nSouth trough,1.25,4.8,0.6,1.2,along\n"
    ),
    "board_zones": "trough,slots_per_row,from\nNorth trough,2,2026-03-02\n",
    "equipment": (
        "name,item,holes,rows,owned,wash_days\n98-cell tray,tray,98,14,12,1\n"
        "72-hole board,board,72,,10,1\n36-hole raft,raft,36,,30,1\nhumidity dome,dome,,,4,0\n"
    ),
    "crops": (
        "crop,code,variety,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_percent,"
        "survival_tray_percent,survival_board_percent,survival_raft_percent,dome_days,lanes,seed_cost\n"
        "Butterhead,BUT,green,4,3,3,3,5,4,95,90,97,97,2,,12.50\n"
        "Basil,BAS,,4,3,0,,5,4,95,90,,97,,North trough;South trough 1,8\n"
    ),
    "products": (
        "product,crop,pack,plants_per_unit\nButterhead head,Butterhead,head,1\nBasil bunch,Basil,bunch,2\n"
    ),
    "orders": (
        "order,customer,product,amount,weekdays,from,to,kind,price,priority\n"
        "R1,Harbour Table,Butterhead head,12,Tue Fri,2026-03-17,2026-03-22,firm,2.40,1\n"
        "R2,Linnet Kitchen,Basil bunch,6,Wed,2026-03-16,,flexible,1.80,2\n"
    ),
}
RAFTS = FARM | {
    "crops": (
        FARM["crops"].splitlines()[0]
        + ",heads_per_crate,keep_from,keep_to,cut_minutes,sow_minutes\n"
        + f"{FARM['crops'].splitlines()[1]},24,0,3,0.5,4\n{FARM['crops'].splitlines()[2]},40,10,13,0.3,4\n"
    ),
    "closures": (
        "from,to,work,place,slots,note\n2026-03-12,,sow;raft,,,stocktaking\n"
        "2026-03-09,2026-03-10,none,North trough 1,2,new liner\n"
    ),
    "crew": "weekdays,hours,from,to\nMon Thu,6,,\nTue Wed Fri,4,2026-03-02,2026-12-31\n",
    "sowing_windows": "crop,from,to\nBasil,2026-02-20,2026-03-19\n",
    "order_changes": (
        "order,from,to,change,amount\nR1,2026-03-20,2026-03-20,amount,15\nR2,2026-03-19,,pause,\n"
    ),
    "deliveries": (
        "delivery,customer,product,amount,date,kind,price,priority\n"
        "D0,Linnet Kitchen,Butterhead head,5,2026-03-03,firm,2.50,1\n"
        "D1,Harbour Table,Butterhead head,10,2026-03-20,firm,2.50,1\n"
        "D2,Linnet Kitchen,Basil bunch,10,2026-03-07,firm,1.80,2\n"
        "D3,Linnet Kitchen,Butterhead head,20,2026-03-12,firm,2.40,2\n"
    ),
    "targets": "target,product,amount,from,to,price\nSaturday stall,Butterhead head,8,2026-03-16,,1.50\n",
    "pace": "place,month,pace\nNorth trough,3,0.9\n,4,1.1\n",
    "costs": "cost,amount\nhour,16\ntray,0.60\nraft_slot_day,0.12\nwasted_plant,0.20\nlot,1.50\n",
    "supplies": (
        "item,kind,crop,product,per_unit,in_stock,pack_size,least_packs,lead_days,spare_percent,price,order_days\n"
        "Butterhead seed,seed,Butterhead,,,40,100,1,5,5,4.20,Mon\n"
        "Sleeves,packaging,,Butterhead head;Basil bunch,1,20,50,1,3,0,2,daily\n"
    ),
    "growing": (
        "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut,not_before\n"
        "G1,Basil,raft,South trough 1,2026-02-26,30,1,1,0,,2026-03-04\n"
        "G2,Butterhead,board,North trough,2026-02-27,40,1,,,,\n"
        "G3,Butterhead,tray,Shelf A 1,2026-02-27,60,1,,,,\n"
    ),
    "coolers": "cooler,crates,temperature\nCold room,10,2\nHerb cabinet,6,11\n",
    "ready": (
        "order,date,product,crop,lot,cut,heads\nD0,2026-03-03,Butterhead head,Butterhead,G0,2026-03-01,5\n"
    ),
    "chores": (
        "chore,place,rule,from,to,minutes,when_closed,who,note\n"
        "Flush the filter,Filter house,FREQ=WEEKLY;BYDAY=TU,2026-03-03,,20,after,Ada,until it runs clear\n"
        "Count trays,,FREQ=MONTHLY;BYDAY=1MO,2026-03-02,2026-12-31,30,skip,,\n"
    ),
}  # fmt: skip
BOXES = FARM | {
    "settings": SETTINGS + "latitude,52.2\nheat,warn\nsupply_weeks,4\ntime_zone,Europe/Berlin\n",
    "orders": (
        "order,customer,product,amount,weekdays,from\nR1,Harbour Table,Basil bunch,4,Fri,2026-03-16\n"
    ),
    "box_categories": (
        "category,product,price\nHeads,Butterhead head,2.5\nHerbs,Basil bunch,1.8\nAny,Butterhead head,2\n"
        "Any,Basil bunch,2\n"
    ),
    "box_shares": (
        "share,boxes,half_boxes,weekdays,every_weeks,from,to,kind,priority,greatest_age,least_value,most_value,"
        "most_running,least_kinds,kinds_boxes\n"
        "Family box,6,3,Thu,1,2026-03-14,2026-04-30,flexible,2,2,4,9,3,2,2\n"
    ),
    "box_slots": (
        "share,slot,category,amount,half_amount,most_products\nFamily box,A head,Heads,1,,1\n"
        "Family box,Herbs,Herbs,0.5,0.25,1\nFamily box,Besides,Any,0.5,0.25,2\n"
    ),
    "box_wishes": (
        "share,product,wish,from,to,times,among_boxes\nFamily box,Basil bunch,favourite,,,,\n"
        ",Butterhead head,at most,2026-03-02,2026-06-30,3,4\n"
    ),
    "box_changes": (
        "share,from,to,change,boxes,half_boxes\nFamily box,2026-03-19,2026-03-19,boxes,8,2\n"
        "Family box,2026-03-26,,skip,,\n"
    ),
    "box_past": "share,date,product\nFamily box,2026-02-26,Basil bunch\n",
    "light": (
        "place,month,cover_percent,lamp_flux,lamp_hours,lamp_light,full_light\n,,62,,,,\n"
        "South trough,3,70,80,10,,15\n"
    ),
    "sunshine": "month,sunshine_percent,cloud_percent\n3,40,\n4,,55\n2,35,\n",
    "temperatures": (
        "place,month,date,water,air\n,3,,16.5,17\n,4,,17,18\nNorth trough,,2026-02-27,16.2,\n"
    ),
}  # fmt: skip
BEDS = FARM | {
    "beds": (
        "bed,positions,length,width,spacing,row_spacing,clean_days,as_place,first_day,last_day\n"
        "Bed 1,,4.8,1.2,0.4,0.6,2,North trough,,\nBed 2,20,,,,,2,,2026-03-02,2026-12-31\n"
    ),
    "crops": (
        FARM["crops"].splitlines()[0]
        + ",finish,beds,days_bed,survival_bed_percent,pick_weeks,picks_a_week,yield_in,yield_per_plant,"
        "bed_minutes,pick_minutes,clear_minutes\n"
        + "".join(f"{line},,,,,,,,,,,\n" for line in FARM["crops"].splitlines()[1:])
        + "Bean,BEA,,5,3,,,,,95,95,,,,,2,bed,Bed 1;Bed 2,6,95,,2,pieces,,0.5,0.5,1\n"
    ),
    "yield_curve": "crop,week,yield_per_plant\nBean,1,10\nBean,2,20\n",
    "products": FARM["products"] + "Beans,Bean,bag,2\n",
    "orders": FARM["orders"] + "R3,Lock Cottage,Beans,5,Fri,2026-03-16,,firm,2,2\n",
    "fish_tanks": (
        "tank,species,from,to,fish,start_mass,growth_percent,yield_per_year,feed_ratio,harvest_weeks,"
        "first_harvest,harvest_percent,restocked\n"
        "Round tank,Perch,2026-01-05,,260,0.02,6,,1.5,26,2026-08-03,100,yes\n"
        "Long tank,Trout,2026-01-05,,100,0.02,,,1.2,,,,no\nOld tank,Carp,,2026-12-31,,,,200,1.4,,,,\n"
    ),
    "fish_weights": "species,week,mass\nTrout,0,0.02\nTrout,20,0.2\n",
    "fish_feeding": "species,mass,feed_percent\nPerch,0.02,3.5\nPerch,0.4,1.2\n",
    "loops": (
        "loop,part,from,to\nRiver loop,Round tank,,\nRiver loop,North trough,2026-03-02,2026-12-31\n"
        "Old loop,Old tank,,\n"
    ),
    "reading_columns": (
        "column,measures,unit,place,form,zone\nTime,moment,,,YYYY-MM-DD hh:mm,UTC\n"
        "Temp (F),water,F,North trough,,\n"
        "pH,pH,,,,\n"
    ),
}  # fmt: skip
GREENS = FARM | {
    "equipment": FARM["equipment"] + "open tray,tray,1,,10,1\n",
    "crops": (
        FARM["crops"].splitlines()[0]
        + ",finish,tray,seed_per_tray,yield_per_tray\n"
        + "".join(f"{line},,98-cell tray,,\n" for line in FARM["crops"].splitlines()[1:])
        + "Cress,CRE,,6,,,,,3,98,98,,,,,,tray,open tray,0.02,0.4\n"
    ),
    "products": "product,crop,pack,plants_per_unit,mass_per_unit\n"
    "Butterhead head,Butterhead,head,1,\nBasil bunch,Basil,bunch,2,\nCress bag,Cress,bag,,0.06\n",
    "recipes": (
        "product,pack,grams,crop,percent,least_percent,most_percent,grams_per_plant\n"
        "House salad,bag,200,Butterhead,70,60,80,150\nHouse salad,bag,,Basil,30,20,40,60\n"
    ),
    "substitutes": "product,substitute,rank,customer,price\nCress bag,Basil bunch,1,Lock Cottage,2.00\n",
    "orders": FARM["orders"]
    + "R3,Lock Cottage,Cress bag,5,Fri,2026-03-06,,firm,2,2\n"
    "R4,Withy Table,House salad,3,Fri,2026-03-20,,firm,4,2\n",
    "outlets": (
        "outlet,product,weekdays,amount,price,from,to,greatest_age\n"
        "Friday market,Butterhead head,Fri,10,2.00,2026-03-13,,1\n"
        "Friday market,Butterhead head,Fri,10,1.40,2026-03-13,,1\n"
        "Friday market,Cress bag,Fri,8,2.40,2026-03-06,2026-12-31,1\n"
    ),
}  # fmt: skip
HOT = FARM | {
    "settings": SETTINGS.replace("weeks,3", "weeks,6") + "heat,refuse\nlift_out,no\nshare_trays,no\n",
    "troughs": (
        "trough,width,length,raft_width,raft_length,lie,rest_days,first_day\n"
        "North trough,0.65,7.2,0.6,1.2,along,2,\nSouth trough,0.65,4.8,0.6,1.2,along,2,2026-06-01\n"
    ),
    "crops": (
        FARM["crops"].splitlines()[0]
        + ",heat_limit,cut_minutes\n"
        + "".join(f"{line},26,0.5\n" for line in FARM["crops"].splitlines()[1:])
    ),
    "orders": FARM["orders"].replace("2026-03-22", "2026-04-12"),
    "temperatures": "place,month,date,water,air\n,3,,18,17\n,4,,18,19\nNorth trough,,2026-04-16,18,30\n"
    "South trough,,2026-04-16,18,30\n",
}  # fmt: skip
SMALL: Mapping[str, Mapping[str, str]] = {
    "rafts": RAFTS, "boxes": BOXES, "beds": BEDS, "greens": GREENS, "hot": HOT
}  # fmt: skip


def _grid(text: str) -> Grid:
    return list(csv.reader(text.splitlines()))


def _folder(path: Path) -> Tables:
    return {file.stem: _grid(file.read_text(encoding="utf-8")) for file in sorted(path.glob("*.csv"))}


@cache
def _base(name: str) -> Tables:
    if name in SMALL:
        return {table: _grid(text) for table, text in SMALL[name].items()}
    if name == "starter":
        common = shared_folder() / "schema" / "starter"
        return _folder(common) | _folder(common / "m")
    return _folder(ROOT / "examples" / name / "book")


NAMES = (*SMALL, "starter", *EXAMPLES)


def base_book(name: str) -> Tables:
    """Return a copy of one of the sound books, by its name of ``NAMES``."""
    return {table: [list(row) for row in grid] for table, grid in _base(name).items()}


def csv_text(grid: Grid) -> str:
    """Return a table as CSV."""
    return "\n".join(",".join(_quoted(cell) for cell in row) for row in grid) + "\n"


def _quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if any(sign in cell for sign in ',"\r\n') else cell
