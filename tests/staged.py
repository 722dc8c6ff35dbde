"""A folder in which the examples of the help texts run: a small farm, its plan, scenarios, a log, records.

``my-farm`` is the small book of ``helpers.py`` with Basil, a fish tank and a log's columns; ``plan`` is its
plan, ``records`` tell the work up to :data:`RECORDED`.
"""

from datetime import date
from pathlib import Path

from folders import planned
from recorded import CROPS

from scheduler.cli.main import run
from scheduler.outputs.everything import Edition, write_plan

RECORDED = date(2026, 3, 20)
TABLES = {
    "crops": CROPS,
    "products": "product,crop\nButterhead,Butterhead\nBasil,Basil\n",
    "orders": (
        "order,customer,product,amount,weekdays,from,to,price\n"
        "R1,Harbour Table,Butterhead,12,Fri,2026-04-24,2026-04-24,2.50\n"
        "R2,Harbour Table,Basil,6,Fri,2026-04-17,2026-04-17,3\n"
    ),
    "fish_tanks": (
        "tank,species,from,fish,start_mass,growth_percent,feed_ratio,harvest_weeks\n"
        "Tank 1,Tilapia,2026-03-02,60,0.05,8,1.5,24\n"
    ),
    "reading_columns": (
        "column,measures,unit,place,form,zone\nTime,moment,,,YYYY-MM-DD hh:mm,\nWater,water,C,,,\n"
    ),
}
FILES = {
    "east.toml": (
        'name = "East trough"\nfrom = 2026-03-16\n[[change]]\ndo = "add trough"\ntrough = "East trough"\n'
        'like = "North trough"\n'
    ),
    "shelf.toml": (
        'name = "Third tier"\nfrom = 2026-03-16\n[[change]]\ndo = "add shelf"\nshelf = "Shelf B"\n'
        "tiers = 1\ntrays_per_tier = 4\n"
    ),
    "second-tank.toml": (
        'name = "Second tank"\nfrom = 2026-03-16\n[[change]]\ndo = "add fish tank"\ntank = "Tank 2"\n'
        'like = "Tank 1"\n'
    ),
    "log.csv": "Time,Water\n2026-03-02 08:00,17.5\n2026-03-02 12:00,18.1\n2026-03-03 08:00,17.8\n",
}


def stage(folder: Path) -> None:
    """Write the folder; only ``raftway`` itself then adds to it."""
    made = planned(folder, **TABLES)
    made.book.rename(folder / "my-farm")
    write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    for name, text in FILES.items():
        (folder / name).write_text(text, encoding="utf-8")
    told = [
        "record",
        str(folder / "my-farm"),
        "planned",
        RECORDED.isoformat(),
        "--plan",
        str(folder / "plan"),
    ]
    assert run(told) == 0
