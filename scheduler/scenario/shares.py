"""Changes to box shares: one more, more boxes of one, one that ends."""

from datetime import timedelta

from scheduler.book.decimals import decimal_text
from scheduler.scenario.orders import PAST_THE_PLAN
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import ended, times
from scheduler.scenario.tables import Tables, said

OF_SHARE = ("box_slots", "box_wishes", "box_changes", "box_past")
"""Tables whose rows are about one share."""


def add_share(tables: Tables, change: Change) -> None:
    """Add a share like another one, with its places and its own wishes; what went before is not its own."""
    (like,) = tables.named("box_shares", change.text("like"))
    name = change.text("share")
    cells = {**like.cells, **change.columns, "share": name}
    if change.start is not None:
        cells["from"] = change.start.isoformat()
    if end := change.day("to"):
        cells["to"] = end.isoformat()
    keys = {column: "like" for column in like.cells if column not in change.columns} | {"share": "share"}
    keys |= {"from": "from"} if change.start is not None else {}
    keys |= {"to": "to"} if end else {}
    tables.add("box_shares", cells, change, keys)
    for table in ("box_slots", "box_wishes"):
        for line in tables.named(table, like.text("share"), "share"):
            tables.add(table, line.cells | {"share": name}, change, dict.fromkeys(line.cells, "like"))


def change_shares(tables: Tables, change: Change) -> None:
    """Let shares have so many times their usual number of boxes from the day on."""
    first = tables.first_day
    end = first + timedelta(weeks=int(tables.setting("weeks")), days=PAST_THE_PLAN)
    asked = {said(name) for name in change.words("share")}
    if not tables.lines("box_shares"):
        tables.log.add(change.at("percent"), "a change of shares", "a book with box_shares", "no-share")
    for line in tables.lines("box_shares"):
        if not asked or line.text("share") in asked:
            cells = {
                "share": line.text("share"),
                "from": max(change.start or first, first).isoformat(),
                "to": end.isoformat(),
                "change": "times",
                "times": decimal_text(times([change])),
            }
            tables.add("box_changes", cells, change, {"to": "from", "times": "percent"})


def end_share(tables: Tables, change: Change) -> None:
    """Send no more boxes of a share, or take it out of the book with all that is said of it."""
    name = change.text("share")
    (line,) = tables.named("box_shares", name)
    ended(tables, line, change)
    if not tables.named("box_shares", name):
        for table in OF_SHARE:
            tables.drop(tables.named(table, name, "share"))
