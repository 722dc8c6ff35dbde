"""Pages of deliveries: those of one customer, and all that are not filled."""

from collections.abc import Iterator

from rich.padding import Padding
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, left_out, row, table, titled
from scheduler.outputs.words import counted, date_in_text, day_in_text, money, plain, shortened, some
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.views.customer_page import customer_page
from scheduler.plan.views.overview import unfilled
from scheduler.plan.words import worth_listing

DELIVERIES = 24
LOTS = 2
SHORT = 9
OTHERS = 5
REASON = 230
"""Letters of a reason, three lines of it; demands.csv has the whole."""
KINDS = {"firm": "firm", "flexible": "flexible", "target": "weeks of targets"}
NONE = "Nothing is short."
STATES = {
    "too early": "Too early for any new sowing",
    "out of reach": "Out of reach of any harvest day",
}


def customer_parts(farm: Farm, plan: Plan, name: str, day: int) -> Iterator[Part]:
    """Yield the deliveries of a customer, or the weeks of a target, from a day on."""
    if any(week.outlet == name for week in farm.outlets):
        yield from _outlet(farm, plan, name, day)
        return
    found = customer_page(farm, plan, name, day)
    yield heading(f"{plain(name)}, from {date_in_text(farm, day)}")
    yield Text(f"Whole plan: {states_in_words(found.states)}")
    if not found.due:
        yield Text("Nothing more is to be delivered.")
        return
    sums = [f"{plain(product)} {number:,}" for product, number in found.products]
    yield Text(f"Still to come: {some(sums, 8)}")
    yield Text()
    lines = table("day", "name", "number", "state", "rest")
    shown = worth_listing(len(found.due), DELIVERIES)
    for each in found.due[:shown]:
        kind = "" if each.row.firm or each.row.target else "flexible, "
        lots = some([f"{lot} {heads:,}" for lot, heads in each.lots], LOTS)
        instead = "".join(f", {number:,} {plain(name)} instead" for name, number in each.instead)
        row(
            lines,
            day_of(farm, each.row.day),
            each.row.product,
            _amount(each.row),
            f"{kind}{_state(each.row)}{instead}",
            lots,
        )
    yield lines
    if len(found.due) > shown:
        yield left_out(len(found.due) - shown, "tables/demands.csv")


def _outlet(farm: Farm, plan: Plan, name: str, day: int) -> Iterator[Part]:
    """Yield what an outlet sells from a day on."""
    yield heading(f"{plain(name)}, from {date_in_text(farm, day)}")
    coming = [each for each in plan.outlets if each.outlet == name and each.day >= day and each.reported]
    takings = money(farm, sum(each.takings for each in coming))
    yield Text(f"To be sold: {sum(each.units for each in coming):,} units for {takings}")
    yield Text()
    lines = table("day", "name", "number", "rest")
    shown = worth_listing(len(coming), DELIVERIES)
    for each in coming[:shown]:
        row(lines, day_of(farm, each.day), each.product, f"{each.units:,}", f"{each.takings / CENT:,.2f}")
    yield lines
    if len(coming) > shown:
        yield left_out(len(coming) - shown, "tables/outlets.csv")


def _amount(row: DemandRow) -> str:
    return f"{row.amount:,}" if row.filled >= row.amount else f"{row.filled:,} of {row.amount:,}"


def _state(row: DemandRow) -> str:
    return row.state if row.state in ("filled", "short", *STATES) else "?"


def states_in_words(states: dict[tuple[str, str], int]) -> str:
    """Return ``firm 12 of 14 filled, 1 short, 1 too early; flexible 3 of 3 filled``."""
    said = []
    for kind, words in KINDS.items():
        own = {state: number for (of, state), number in states.items() if of == kind}
        if own:
            rest = [f"{own[state]:,} {state}" for state in ("short", *STATES) if own.get(state)]
            filled = f"{words} {own.get('filled', 0):,} of {sum(own.values()):,} filled"
            said.append(", ".join([filled, *rest]))
    return "; ".join(said) or "nothing is asked for"


def short_parts(farm: Farm, plan: Plan) -> Iterator[Part]:
    """Yield every delivery that is not filled, with what stood in the way."""
    found = unfilled(plan)
    short = found.pop("short")
    number = counted(len(short), "delivery")
    yield heading(f"Short: {number}, with what comes of what was ordered" if short else NONE)
    shown = worth_listing(len(short), SHORT)
    for each in short[:shown]:
        yield from _short(farm, each)
    if len(short) > shown:
        yield left_out(len(short) - shown, "tables/demands.csv")
    for state, rows in found.items():
        if rows:
            yield titled(f"{STATES.get(state, plain(state))}: {len(rows):,} (not counted as short)")
            lines = table("day", "name", "name", "number", "rest")
            shown = worth_listing(len(rows), OTHERS)
            for each in rows[:shown]:
                first = (
                    f"first possible {day_in_text(farm, each.earliest)}" if each.earliest is not None else ""
                )
                row(
                    lines,
                    day_of(farm, each.day),
                    each.customer or each.order,
                    each.product,
                    _amount(each),
                    first,
                )
            yield lines
            if len(rows) > shown:
                yield left_out(len(rows) - shown, "tables/demands.csv")


def _short(farm: Farm, each: DemandRow) -> Iterator[Part]:
    """Yield a line of who, what and how much, and the reason below, where it has the whole width."""
    who, what = plain(each.customer or each.order), plain(each.product)
    yield Text(
        f"{day_of(farm, each.day)} {_amount(each)} {what} for {who}, {each.kind}",
        no_wrap=True,
        overflow="ellipsis",
    )
    reason = plain(each.reason)
    if reason:
        yield Padding(Text(shortened(reason, REASON)), (0, 0, 0, 2))
