"""A plan on one screen: what is met, what is short and why, where it is tight, and what to do this week.

Every text of the grower goes through :class:`rich.text.Text`, which takes square brackets as they are.
"""

from collections import defaultdict
from collections.abc import Sequence
from itertools import groupby

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.farm.units import ceil_div
from scheduler.outputs.proven import proven_lines
from scheduler.outputs.screen import narrowed
from scheduler.outputs.show.page import day_of
from scheduler.outputs.words import (
    counted,
    date_in_text,
    headline,
    hours_in_text,
    money,
    plain,
    shortened,
    some,
    work_order,
)
from scheduler.plan.instead import instead
from scheduler.plan.outlets import gone
from scheduler.plan.rows import DemandRow, Plan
from scheduler.plan.views.overview import unfilled
from scheduler.plan.views.places import equipment_use, fullest_coolers, place_use
from scheduler.plan.views.reached import reached
from scheduler.plan.words import done_word, seed_sum, sum_nouns, worth_listing
from scheduler.plan.worth import COST

SHORT_ROWS = 8
REASON = 150
"""Letters of a reason, two lines of it; demands.csv has the whole."""
PLACE_ROWS = 6
KIND_ROWS = 4
LATE_ROWS = 3
EARLY_PRODUCTS = 3
INSTEAD_ROWS = 3
OUTLET_ROWS = 4
BAR = 16


def print_summary(console: Console, farm: Farm, plan: Plan) -> None:
    """Print a plan in about 40 lines of 80 columns; plain text when the console is no terminal."""
    narrowed(console)
    missed = unfilled(plan)
    for part in (
        _head(farm),
        _deliveries(plan),
        _instead(farm, plan),
        _goods(farm, plan),
        _short(farm, missed["short"]),
        _too_early(farm, missed["too early"]),
        _out_of_reach(missed["out of reach"]),
        _proven(plan),
        _fullest(farm, plan),
        _totals(farm, plan),
        _week(farm, plan),
    ):
        if part is not None:
            console.print(part, highlight=False)


def _head(farm: Farm) -> RenderableType:
    calendar = farm.calendar
    first, last = (date_in_text(farm, day) for day in (0, calendar.days - 1))
    return Text(f"{plain(farm.name)}: {first} to {last}", style="bold")


def _deliveries(plan: Plan) -> RenderableType:
    said = [
        f"{kind.removesuffix(' deliveries')} {each.complete:,} of {each.deliveries:,}"
        for kind, each in reached(plan).items()
    ]
    return Text("Deliveries filled: " + (", ".join(said) or "none were asked for"))


def _instead(farm: Farm, plan: Plan) -> RenderableType | None:
    found = instead(farm, plan)
    if not found:
        return None
    shown = worth_listing(len(found), INSTEAD_ROWS)
    named = [f"{each.units:,} {plain(each.substitute)} for {plain(each.product)}" for each in found[:shown]]
    more = f" and {sum(each.units for each in found[shown:]):,} more" if len(found) > shown else ""
    return Text(f"Of these by substitutes: {', '.join(named)}{more}")


def _goods(farm: Farm, plan: Plan) -> RenderableType | None:
    """Say where all heads go, where the farm has outlets."""
    if not farm.outlets:
        return None
    found, nouns = gone(farm, plan), sum_nouns(farm)
    lines = [
        f"{nouns.capitalize()}: {found.heads:,} {done_word(farm)}, "
        f"{found.given:,} to deliveries and targets, {found.left:,} left over"
    ]
    shown = worth_listing(len(found.sold), OUTLET_ROWS)
    for outlet in list(found.sold)[:shown]:
        takings = money(farm, found.takings[outlet])
        lines.append(f"{plain(outlet)}: {counted(found.units[outlet], 'unit')} sold for {takings}")
    rest = list(found.sold)[shown:]
    if rest:
        takings = money(farm, sum(found.takings[name] for name in rest))
        lines.append(
            f"{len(rest)} more outlets: {sum(found.units[name] for name in rest):,} units sold for {takings}"
        )
    if not all(found.units.values()) and not any(
        row.level == COST and row.status.startswith("proven") for row in plan.goals
    ):
        lines.append("To grow for outlets comes last in a search: more --seconds may sell more there.")
    return Text("\n".join(lines))


def _short(farm: Farm, rows: Sequence[DemandRow]) -> RenderableType:
    if not rows:
        return Text("Nothing is short.")
    first = ", firm deliveries first" if len({row.firm for row in rows}) > 1 else ""
    lines: list[RenderableType] = [Text(f"Short: {len(rows):,}{first}", style="bold")]
    shown = worth_listing(len(rows), SHORT_ROWS)
    amounts = [f"{row.missing:,} of {row.amount:,} short" for row in rows[:shown]]
    for row, amount in zip(rows, amounts, strict=False):
        lines.append(_short_line(farm, row, amount.rjust(max(map(len, amounts)))))
        if row.reason:
            lines.append(Padding(Text(shortened(plain(row.reason), REASON)), (0, 0, 0, 2)))
    if len(rows) > shown:
        lines.append(Text(f"and {len(rows) - shown:,} more, see demands.csv"))
    return Group(*lines)


def _short_line(farm: Farm, row: DemandRow, amount: str) -> RenderableType:
    """Return date, customer, product and amount; the reason goes below, where it has the whole width."""
    line = Table.grid(expand=True, padding=(0, 1, 0, 0), pad_edge=False)
    line.add_column(no_wrap=True)
    for _ in ("for", "product"):
        line.add_column(ratio=1, no_wrap=True, overflow="ellipsis")
    line.add_column(no_wrap=True)
    line.add_row(
        day_of(farm, row.day),
        Text(plain(row.customer or row.order)),
        Text(plain(row.product)),
        amount,
    )
    return line


def _too_early(farm: Farm, rows: Sequence[DemandRow]) -> RenderableType | None:
    if not rows:
        return None
    first = {row.product: row.earliest for row in rows if row.earliest is not None}
    products = sorted(first, key=lambda product: (first[product], product))
    shown = worth_listing(len(products), EARLY_PRODUCTS)
    named = [f"{plain(product)} on {date_in_text(farm, first[product])}" for product in products[:shown]]
    more = f" and {len(products) - shown} more later" if len(products) > shown else ""
    since = f"; a new sowing can first deliver {', '.join(named)}{more}" if named else ""
    return Text(f"Too early for any new sowing: {len(rows):,} (not counted as short){since}")


def _out_of_reach(rows: Sequence[DemandRow]) -> RenderableType | None:
    if not rows:
        return None
    return Text(f"Out of reach of any harvest day: {len(rows):,} (not counted as short), see demands.csv")


def _proven(plan: Plan) -> RenderableType | None:
    lines = proven_lines(plan)
    return Text("\n".join(lines)) if lines else None


def _fullest(farm: Farm, plan: Plan) -> RenderableType | None:
    places = [(use.name, use.peak) for use in place_use(farm, plan)]
    places += fullest_coolers(farm, plan)
    kinds = [(use.name, use.peak) for use in equipment_use(farm, plan)]
    if not places and not kinds:
        return None
    table = _table("Fullest day of each place and of the equipment")
    table.add_column("", ratio=1, no_wrap=True, overflow="ellipsis")
    table.add_column("", no_wrap=True)
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    for peaks, limit in ((places, PLACE_ROWS), (kinds, KIND_ROWS)):
        shown = worth_listing(len(peaks), limit)
        for name, peak in peaks[:shown]:
            table.add_row(
                Text(plain(name)),
                Text(bar(peak.used, peak.there)),
                f"{peak.used:,} of {peak.there:,}",
                day_of(farm, peak.day),
            )
        if len(peaks) > shown:
            table.add_row(Text(f"and {len(peaks) - shown} more"), "", "", "")
    return table


def bar(used: int, there: int, width: int = BAR) -> str:
    """Return a bar of letters, such as ``[####....]``; anything in use shows, full only when it is full."""
    full = width if used else 0
    filled = full if used >= there else min(width - 1, ceil_div(used * width, there))
    return "[" + "#" * filled + "." * (width - filled) + "]"


def _totals(farm: Farm, plan: Plan) -> RenderableType:
    weeks: dict[int, int] = defaultdict(int)
    for row in plan.hours:
        if farm.today <= row.day < farm.calendar.days:
            weeks[farm.calendar.week_start(row.day)] += row.minutes
    said = []
    if weeks:
        most = max(sorted(weeks), key=lambda week: weeks[week])
        mean = sum(weeks.values()) / len(weeks)
        said.append(
            f"Work: {hours_in_text(mean)} hours a week, most {hours_in_text(weeks[most])} "
            f"from {date_in_text(farm, most)}"
        )
    seed = [row for row in plan.seed if row.day < farm.calendar.days]
    cost = sum(row.cost for row in seed)
    price = f" for {money(farm, cost)}" if cost else ""
    crops = counted(len({row.crop for row in seed}), "crop")
    said.append(f"Seed: {seed_sum(farm, ((row.crop, row.seeds) for row in seed))} of {crops}{price}")
    said += _orders(farm, plan)
    return Text("\n".join(said))


def _orders(farm: Farm, plan: Plan) -> list[str]:
    """Say what is to be ordered, what that costs, and what runs out before it can come."""
    if not plan.supplies:
        return []
    cost = sum(row.cost for row in plan.supplies)
    price = f" for {money(farm, cost)}" if cost else ""
    said = [f"To order: {counted(len(plan.supplies), 'order')} of seed and packaging{price}"]
    late = [row for row in plan.supplies if row.late]
    named = [f"{plain(row.item)} (runs out {date_in_text(farm, row.arrive_by)})" for row in late]
    if late:
        said.append(f"Order today, it comes late: {some(named, LATE_ROWS)}")
    return said


def _week(farm: Farm, plan: Plan) -> RenderableType:
    first, calendar = farm.today, farm.calendar
    tasks = sorted(
        (task for task in plan.tasks if first <= task.day < min(first + 7, calendar.days)),
        key=lambda task: (task.day, work_order(task.work)),
    )
    if not tasks:
        return Text("Nothing to do in the first seven days.")
    table = _table("First seven days")
    table.add_column("", no_wrap=True)
    table.add_column("", ratio=1)
    for day, of_day in groupby(tasks, key=lambda task: task.day):
        works = [
            headline(farm, work, list(each), names=2)
            for work, each in groupby(of_day, key=lambda task: task.work)
        ]
        table.add_row(day_of(farm, day), Text("; ".join(works)))
    return table


def _table(title: str) -> Table:
    return Table(
        title=Text(title),
        title_justify="left",
        title_style="bold",
        box=None,
        show_header=False,
        expand=True,
        pad_edge=False,
        padding=(0, 1, 0, 0),
    )
