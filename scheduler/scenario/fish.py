"""Changes to the fish: one more tank."""

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.tables import Tables

GROWS = (
    "species",
    "fish",
    "start_mass",
    "growth_percent",
    "yield_per_year",
    "feed_ratio",
    "harvest_weeks",
    "harvest_percent",
    "restocked",
)
"""What a new tank has of the one it is like."""


def add_fish_tank(tables: Tables, change: Change) -> None:
    """Add a fish tank like another one, in the same loops of water unless one is named."""
    (like,) = tables.named("fish_tanks", change.text("like"))
    name, fish, loop = change.text("tank"), change.number("fish"), change.text("loop")
    cells = {column: like.cells.get(column, "") for column in GROWS}
    cells |= {"tank": name, "from": change.start.isoformat() if change.start else like.cells.get("from", "")}
    if fish is not None:
        cells["fish"] = decimal_text(fish)
    if end := change.day("to"):
        cells["to"] = end.isoformat()
    keys = {column: "like" for column in GROWS if column != "fish" or fish is None}
    tables.add("fish_tanks", cells, change, keys)
    if loop:
        row = {"loop": loop, "part": name}
        tables.add("loops", row, change, {"part": "tank"})
        return
    for line in tables.named("loops", like.text("tank"), "part"):
        tables.add("loops", line.cells | {"part": name}, change, dict.fromkeys(line.cells, "like"))
