"""Changes to where boards stand: a zone more, a zone less, or a trough of their own."""

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import ended
from scheduler.scenario.tables import Tables, day_text
from scheduler.scenario.troughs import new_trough


def add_board_zone(tables: Tables, change: Change) -> None:
    """Give boards slots at the intake end of a trough."""
    cells = {
        "trough": change.text("trough"),
        "slots_per_row": decimal_text(change.number("slots_per_row") or 0),
        "rows": "; ".join(change.words("rows")),
        "from": day_text(change.start),
        "to": day_text(change.day("to")),
    }
    tables.add("board_zones", cells, change)


def close_board_zone(tables: Tables, change: Change) -> None:
    """Make raft slots of a board zone."""
    _close(tables, change, change.text("trough"))


def move_boards(tables: Tables, change: Change) -> None:
    """Close the zones of some troughs; boards go to a trough of their own, new or there already."""
    for trough in change.words("trough"):
        _close(tables, change, trough)
    into = change.text("into")
    there = tables.named("troughs", into)
    if not there:
        new_trough(tables, change, into, "boards")
        return
    if there[0].value("holds") != "boards":
        expected = "a trough that holds boards, or a new name"
        tables.log.add(change.at("into"), f"'{into}', which holds rafts", expected, "bad-zone")
    for key in ("like", "width", "length"):
        if key in change.given:
            expected = "a new name, or no size: that one is there already"
            tables.log.add(change.at(key), f"a {key} for '{into}'", expected, "bad-zone")


def _close(tables: Tables, change: Change, trough: str) -> None:
    """End the zones of a trough on the day before the change; one that never begins is taken out."""
    zones = tables.named("board_zones", trough)
    if not zones:
        found = f"'{trough}', which has no board zone"
        tables.log.add(change.at("trough"), found, "a trough with a board zone", "no-zone")
    for zone in zones:
        ended(tables, zone, change)
