"""The lines and sentences of a limit as text, the same on the screen and on paper."""

from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from scheduler.book.words import listed
from scheduler.farm.dates import long_date
from scheduler.farm.farm import Farm
from scheduler.farm.units import MILLI
from scheduler.outputs.words import plain
from scheduler.plan.capacity import TINY, Bend, Frontier, Held, Limit, Load, Room, RoomKind, Sought

NOUNS = {
    "rows": ("row", "rows"),
    "boards": ("board slot", "board slots"),
    "trays": ("tray place", "tray places"),
    "beds": ("bed position", "bed positions"),
    "together": ("percent", "percent of all places"),
}
"""What is counted along a frontier: one, and several."""

CLOSE = 0.02
"""A price and what one more brings count as the same within this share."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table of text: headings, and rows as long as they are."""

    title: str
    note: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def head(farm: Farm, limit: Limit, asked: str) -> str:
    """Return what the limit is for: the mix and the week."""
    first = farm.date_of(limit.first_day)
    cycle = "every week" if limit.weeks == 1 else f"in a cycle of {limit.weeks} weeks"
    return f"{asked}, {_number(limit.amount)} units a week, {cycle}; week of {long_date(first)}"


def grids(limit: Limit) -> tuple[Grid, ...]:
    """Return the tables of a limit."""
    return (_answers(limit), _parts(limit), _rooms(limit), _loads(limit))


def _answers(limit: Limit) -> Grid:
    rows = [_answer(limit, "linear bound", limit.linear, "nothing repeats with more")]
    if limit.whole is not None:
        rows.append(_answer(limit, Sought.WHOLE, limit.whole / MILLI, _proof(limit)))
    if limit.season is not None:
        asked, filled = limit.season.times / MILLI, limit.season.filled
        units = _number(asked * filled * limit.amount)
        told = "nothing short" if filled == 1 else f"{_percent(filled)} of it filled"
        rows.append((Sought.SEASON, f"{asked:,.2f}", units, told))
    if limit.missed is not None:
        rows.append((limit.missed, "-", "-", "none found in the time"))
    return Grid(
        title="What it carries",
        note=BOUND_NOTE if limit.whole is None else f"{BOUND_NOTE} {WHOLE_NOTE}",
        headings=("", "times the mix", "units a week", ""),
        rows=tuple(rows),
    )


BOUND_NOTE = "The bound counts plants and slot-days of a whole week."
WHOLE_NOTE = (
    "The steady week has whole trays, boards and rafts, moved and cut on the days of the book; a plan of the "
    "season has all its weeks."
)


def _answer(limit: Limit, name: str, times: float, told: str) -> tuple[str, ...]:
    return name, f"{times:,.2f}", _number(times * limit.amount), told


def _proof(limit: Limit) -> str:
    if limit.whole_most is None:
        return "best found"
    if limit.whole == limit.whole_most:
        return "proven best"
    return f"best found, limit {limit.whole_most / MILLI:,.2f}"


def _parts(limit: Limit) -> Grid:
    whole = any(part.whole is not None for part in limit.parts)
    asked = " Whole units are asked for in the proportions of the mix; what is over is free." if whole else ""
    return Grid(
        title="Product by product",
        note=f"Units a week.{asked}",
        headings=("", "mix", *(["whole units"] if whole else []), "bound"),
        rows=tuple(
            (
                plain(part.product),
                _number(part.amount),
                *([_whole(part.whole)] if whole else []),
                _number(part.linear),
            )
            for part in limit.parts
        ),
    )


def _whole(number: float | None) -> str:
    return "-" if number is None else _number(number)


def _rooms(limit: Limit) -> Grid:
    return Grid(
        title="What binds",
        note=(
            "At the bound: what there is, how much of it is in use, and how many units a week one more would "
            "bring, found by solving again; in brackets its price for less than one where that differs."
        ),
        headings=("", "there", "in use", "one more brings"),
        rows=tuple((_one(room), _there(room), _percent(room.used), _worth(room)) for room in _sorted(limit)),
    )


def _sorted(limit: Limit) -> list[Room]:
    """Return what binds, most worth first, and then the rest, fullest first."""
    return sorted(limit.rooms, key=lambda room: (-room.worth, -room.used))


def named(held: Sequence[Held]) -> str:
    """Return what holds a farm back, alike ones together: ``raft slots of North trough and South trough``."""
    names: dict[RoomKind, list[str]] = {}
    for kind, name in held:
        names.setdefault(kind, []).append(plain(name))
    return " and ".join(_of_kind(kind, of) for kind, of in names.items())


def _of_kind(kind: RoomKind, names: Sequence[str]) -> str:
    if kind is RoomKind.HOURS:
        return "hours of the crew"
    told = listed(names) if len(names) <= MOST_NAMES else f"{len(names)} places"
    return f"{kind.value} owned ({told})" if kind in OWNED else f"{kind.value} of {told}"


OWNED = (RoomKind.TRAY, RoomKind.BOARD, RoomKind.RAFT, RoomKind.DOME)
MOST_NAMES = 3


def _one(room: Room) -> str:
    return named([(room.kind, room.name)])


def _there(room: Room) -> str:
    return f"{_number(room.there)} a week" if room.kind is RoomKind.HOURS else _number(room.there)


def _worth(room: Room) -> str:
    said, price = _gain(room.worth), _gain(room.price)
    same = said == price or abs(room.price - room.worth) <= CLOSE * room.price
    return said if same else f"{said} ({price})"


def _gain(units: float) -> str:
    """Return what one more brings: what rounding alone leaves of a sum is nothing."""
    if units <= TINY:
        return "nothing"
    return _number(units) if units >= LEAST_GAIN else f"under {LEAST_GAIN}"


LEAST_GAIN = 0.1


def _loads(limit: Limit) -> Grid:
    beds = any(load.bed_days for load in limit.loads)
    trays = any(not (load.raft_days or load.bed_days) for load in limit.loads)
    return Grid(
        title="Days of a place that one head takes",
        note=LOADS_NOTE + (TRAY_NOTE if trays else "") + (BED_NOTE if beds else ""),
        headings=("", "tray place", "board slot", "raft slot", *(["bed position"] if beds else [])),
        rows=tuple(
            (plain(load.crop), *(_days(days) for days in _days_of(load)[: 4 if beds else 3]))
            for load in limit.loads
        ),
    )


def _days(days: float) -> str:
    """Return days with two decimals; a gram's few are told from none."""
    if not days:
        return "-"
    return f"{days:.2f}" if days >= LEAST else f"under {LEAST}"


def _days_of(load: Load) -> tuple[float, ...]:
    return load.tray_days, load.board_days, load.raft_days, load.bed_days


LEAST = 0.01
LOADS_NOTE = "Losses included; the least that work days allow."
BED_NOTE = " Of what is picked in beds a head is a piece or a gram; plants stand for all their picking weeks."
TRAY_NOTE = " Of what is cut in its trays a head is a gram where it is sold by mass."


def sentences(limit: Limit) -> list[str]:
    """Return what a limit says in sentences."""
    told = []
    if limit.left_out:
        names = ", ".join(plain(name) for name in limit.left_out)
        told.append(f"Nothing can be sown for {names} in that week; the mix is without it.")
    binding = named([(room.kind, room.name) for room in limit.binding])
    if binding:
        told.append(f"What holds it back: {binding}.")
    lanes = [room for room in limit.rooms if room.kind is RoomKind.LANE]
    if lanes and not any(room.binds for room in lanes) and binding:
        told.append(f"Another row or trough alone brings nothing: {binding} feed no more of them.")
    if limit.whole == 0:
        told.append("No steady week of whole units carries any of it; a longer cycle may (--weeks).")
    if limit.missed is not None:
        told.append(f"More --seconds may find a {limit.missed}.")
    return told


def frontier_grid(frontier: Frontier, numbers: Container[int] | None = None) -> Grid:
    """Return the table of a frontier, or of some of its numbers."""
    several = NOUNS[frontier.what][1]
    points = [point for point in frontier.points if numbers is None or point.number in numbers]
    whole = any(point.whole is not None for point in points)
    return Grid(
        title=f"Units a week by {several}",
        note=LEFT_OUT if len(points) < len(frontier.points) else "",
        headings=(several, "bound", *(["whole units"] if whole else []), "what binds"),
        rows=tuple(
            (
                f"{point.number:,}" + (" (now)" if point.number == frontier.now else ""),
                _number(point.linear),
                *([_whole(point.whole)] if whole else []),
                named(point.binding),
            )
            for point in points
        ),
    )


LEFT_OUT = "Not every number that was solved stands here; frontier.csv of --out has them all."


def turning(frontier: Frontier) -> set[int]:
    """Return the numbers of a frontier at which its table says something else than on both sides of them."""
    said = [(_number(point.linear), named(point.binding)) for point in frontier.points]
    beside = zip([None, *said], said, [*said[1:], None], strict=False)
    told = {
        point.number
        for point, (before, here, after) in zip(frontier.points, beside, strict=True)
        if not before == here == after or point.whole is not None
    }
    return told | {frontier.now}


def frontier_sentences(frontier: Frontier) -> list[str]:
    """Return where a curve bends, in sentences."""
    one, several = NOUNS[frontier.what]
    told = [_bend(bend, one, several) for bend in frontier.bends]
    if not told:
        first, last = frontier.points[0], frontier.points[-1]
        each = (last.linear - first.linear) / max(1, last.number - first.number)
        told.append(
            f"Up to {last.number:,} {several} each {one} brings {_number(each)} units a week; no bend."
        )
    return told


def _bend(bend: Bend, one: str, several: str) -> str:
    held = f": {named(bend.binding)} hold it back" if bend.binding else ""
    if not bend.after:
        return f"Beyond {bend.number:,} {several} more bring nothing{held}."
    return (
        f"Up to {bend.number:,} {several} one {one} more brings {_number(bend.before)} units a week, "
        f"beyond that {_number(bend.after)}{held}."
    )


def csv_rows(limit: Limit, frontiers: Sequence[Frontier]) -> Iterator[tuple[str, list[tuple[str, ...]]]]:
    """Return file name -> rows of its table, the heading first; numbers are plain."""
    yield (
        "limit.csv",
        [
            ("product", "mix_units_a_week", "whole_units_a_week", "bound_units_a_week"),
            *(
                (part.product, _plain(part.amount), _plain(part.whole), _plain(part.linear))
                for part in limit.parts
            ),
        ],
    )
    yield (
        "rooms.csv",
        [
            ("kind", "name", "there", "used", "price_units_a_week", "one_more_units_a_week"),
            *(
                (str(r.kind), r.name, _plain(r.there), _plain(r.used), _plain(r.price), _plain(r.worth))
                for r in limit.rooms
            ),
        ],
    )
    if frontiers:
        yield (
            "frontier.csv",
            [
                ("what", "number", "bound_units_a_week", "whole_units_a_week", "binding"),
                *(
                    (f.what, str(p.number), _plain(p.linear), _plain(p.whole), named(p.binding))
                    for f in frontiers
                    for p in f.points
                ),
            ],
        )


def _plain(number: float | None) -> str:
    return "" if number is None else f"{number:.4f}".rstrip("0").rstrip(".")


def _number(number: float) -> str:
    """Return a number as it is read: whole when large or as good as whole, else with one decimal."""
    return f"{number:,.0f}" if abs(number) >= 100 else f"{number:,.1f}".removesuffix(".0")


def _percent(share: float) -> str:
    whole = round(share * 100)
    return f"{min(whole, 99) if share < 1 - 1e-9 else whole} %"
