"""Changes to shelves, and to the trays, boards and rafts that are owned."""

from scheduler.book.decimals import decimal_text
from scheduler.scenario.scenario import Change
from scheduler.scenario.spans import SERVICE, ended
from scheduler.scenario.tables import Line, Tables, day_text
from scheduler.scenario.troughs import close_before, forget_place

ONLY_NEW = ("item", "holes", "rows", "wash_days")
"""Keys of a kind of equipment that is not there yet."""


KEPT_FOR = {"nursery": "nursery_tiers", "greens": "greens_tiers"}
"""Use of a tier -> the column that lists the tiers kept for it."""


def add_shelf(tables: Tables, change: Change) -> None:
    """Add a shelf."""
    cells = {
        "shelf": change.text("shelf"),
        "tiers": decimal_text(change.number("tiers") or 0),
        "trays_per_tier": decimal_text(change.number("trays_per_tier") or 0),
        "nursery_tiers": "; ".join(change.words("nursery_tiers")),
        "greens_tiers": "; ".join(change.words("greens_tiers")),
        "first_day": day_text(change.start),
        "last_day": day_text(change.day("to")),
    }
    tables.add("shelves", cells, change, {"first_day": "from", "last_day": "to"})


def add_tiers(tables: Tables, change: Change) -> None:
    """Add tiers above those of a shelf; they open on the day of the change."""
    (line,) = tables.named("shelves", change.text("shelf"))
    old, more = int(line.number_of("tiers")), int(change.number("tiers") or 0)
    tables.write(line, "tiers", str(old + more), change.at("tiers"))
    tiers = range(old + 1, old + more + 1)
    kept = KEPT_FOR.get(change.text("kept_for"))
    if kept is not None:
        words = [*line.words(kept), *map(str, tiers)]
        tables.write(line, kept, "; ".join(words), change.at("kept_for"))
    close_before(tables, change, [f"{line.text('shelf')} {tier}" for tier in tiers])


def keep_tiers(tables: Tables, change: Change) -> None:
    """Keep other tiers of a shelf for one of its two uses; a key that is not written changes nothing."""
    (line,) = tables.named("shelves", change.text("shelf"))
    given = [column for column in KEPT_FOR.values() if column in change.given]
    if not given:
        expected = " or ".join(KEPT_FOR.values())
        tables.log.add(change.at(KEPT_FOR["nursery"]), "no tiers", expected, "blank")
    for column in given:
        tables.write(line, column, "; ".join(change.words(column)), change.at(column))


def remove_shelf(tables: Tables, change: Change) -> None:
    """End the service of a shelf, or take it out of the book with all that is said of it."""
    (line,) = tables.named("shelves", change.text("shelf"))
    if ended(tables, line, change, SERVICE):
        forget_place(tables, line.text("shelf"))


def add_equipment(tables: Tables, change: Change) -> None:
    """Own more of a kind, or of a new one."""
    more = int(change.number("more") or 0)
    there = tables.named("equipment", change.text("name"))
    if not there:
        cells = {"name": change.text("name"), "item": change.text("item"), "owned": str(more)}
        numbers = {key: change.number(key) for key in ONLY_NEW[1:]}
        cells |= {key: decimal_text(number) for key, number in numbers.items() if number is not None}
        tables.add("equipment", cells, change, {"owned": "more"})
        return
    line = there[0]
    tables.write(line, "owned", str(int(line.number_of("owned")) + more), change.at("more"))
    for key in ONLY_NEW:
        if key in change.given:
            found = f"{key} for '{line.text('name')}', which is there already"
            expected = "a new name, or name and more alone (other holes: another change)"
            tables.log.add(change.at(key), found, expected, "there-already")


def other_holes(tables: Tables, change: Change) -> None:
    """Give a kind another number of holes; a crop that filled every hole goes on to do so."""
    (line,) = tables.named("equipment", change.text("name"))
    item, old = line.text("item").casefold(), line.value("holes")
    if item == "dome":
        found = f"'{line.text('name')}', which is a dome"
        tables.log.add(change.at("name"), found, "a tray, a board or a raft", "wrong-item")
        return
    new = decimal_text(change.number("holes") or 0)
    tables.write(line, "holes", new, change.at("holes"))
    rows = change.number("rows")
    if rows is not None:
        tables.write(line, "rows", decimal_text(rows), change.at("rows"))
    for crop in _crops_on(tables, line, item) if item != "tray" else ():
        if crop.value(f"plants_per_{item}") == old:
            tables.write(crop, f"plants_per_{item}", new, change.at("holes"))


def _crops_on(tables: Tables, kind: Line, item: str) -> list[Line]:
    """Return the crops that stand on a kind: those that name it, and where it is the only one all others."""
    kinds = [line for line in tables.lines("equipment") if line.text("item").casefold() == item]
    names = {kind.text("name")} | ({""} if len(kinds) == 1 else set())
    return [crop for crop in tables.lines("crops") if crop.text(item) in names]
