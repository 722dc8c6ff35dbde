"""Which crops a farm grows: rows of the crops table, with the figures of the crop library."""

from random import Random

from crops.library import card

Row = dict[str, object]

HEADS = (
    "lettuce_butterhead",
    "lettuce_romaine",
    "lettuce_oakleaf",
    "lettuce_red_leaf",
    "lettuce_green_leaf",
    "lettuce_summer_crisp",
    "lettuce_little_gem",
    "lettuce_multileaf_one_cut",
    "pak_choi",
    "escarole_endive",
)
"""Cards of crops that go over boards and are cut once."""

QUICK = ("arugula", "pak_choi_baby", "tatsoi", "komatsuna", "beet_greens", "dill", "scallion")
"""Cards of crops that go from trays straight to rafts and are cut once."""

AGAIN = (
    "basil_genovese",
    "swiss_chard",
    "kale_curly",
    "parsley_flat",
    "cilantro",
    "mizuna",
    "kale_lacinato",
    "basil_thai",
    "mustard_greens",
    "collards",
    "mint",
    "chives",
)
"""Cards of crops whose rafts are cut several times."""

MOST_CUTS = 3
"""Cuts taken of one raft: growers of salad rarely take all a card allows (common practice, no source)."""

SMALL_RAFT, LARGE_RAFT = "18-hole raft", "36-hole raft"
MOST_ON_SMALL_RAFT, MOST_ON_RAFT = 18, 36
RAFT_AREA = 0.72
"""Square metres of a raft 0.6 m wide and 1.2 m long."""

WAIT_TRAY, WAIT_BOARD = 4, 4
"""Days that let every sowing meet a day on which plants are moved, twice a week (common practice)."""

LATER = 3
"""Days that a second variety of a card takes longer on the raft (estimate)."""


def crop_rows(count: int, random: Random) -> list[Row]:
    """Pick crops: half are heads over boards, a quarter is cut again and again, the rest is quick.

    Where a list of cards is used up, a second, slower variety of a card follows.
    """
    again = count // 4
    heads = (count + 1) // 2
    chosen = [
        *_picked(HEADS, heads, random),
        *_picked(QUICK, count - heads - again, random),
        *_picked(AGAIN, again, random),
    ]
    return [_row(name, variety) for name, variety in chosen]


def _picked(names: tuple[str, ...], count: int, random: Random) -> list[tuple[str, int]]:
    """Return (card, number of the variety)."""
    found: list[tuple[str, int]] = []
    variety = 1
    while len(found) < count:
        some = random.sample(names, min(len(names), count - len(found)))
        found += [(name, variety) for name in some]
        variety += 1
    return found


def _row(name: str, variety: int) -> Row:
    facts = card(name)
    days = int(facts.value("days_raft") or 0) + LATER * (variety - 1)
    title = facts.title.split(" (")[0]
    on_raft = min(MOST_ON_RAFT, int((facts.value("plants_per_m2_raft") or 0) * RAFT_AREA))
    cuts = min(int(facts.value("cuts") or 1), MOST_CUTS)
    return {
        "crop": title if variety == 1 else f"{title} {variety}",
        "card": name,
        "variety": f"{title.lower()} {variety}",
        "raft": SMALL_RAFT if on_raft <= MOST_ON_SMALL_RAFT else LARGE_RAFT,
        "plants_per_raft": on_raft,
        "margin_percent": 10,
        "wait_tray": max(WAIT_TRAY, int(facts.value("wait_tray") or 0)),
        "wait_board": WAIT_BOARD if "board" in facts.route else "",
        "days_raft": days,
        "harvest_window": max(4, int(facts.value("harvest_window") or 0)),
        "cuts": cuts,
        "seed_cost": 4 + len(title) % 9,
    }


def days_to_reach(row: Row) -> int:
    """Return the most days from a sowing to the first cut of a row's crop."""
    facts = card(str(row["card"]))
    nursery = int(facts.value("days_tray") or 0) + WAIT_TRAY
    if "board" in facts.route:
        nursery += int(facts.value("days_board") or 0) + WAIT_BOARD
    return nursery + int(str(row["days_raft"])) + 4
