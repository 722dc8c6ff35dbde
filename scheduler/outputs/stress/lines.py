"""Tables and sentences of a replayed plan as text, the same on the screen and on paper."""

from collections.abc import Sequence

from scheduler.book.words import counted
from scheduler.farm.farm import Demand
from scheduler.farm.units import CENT, WHOLE_SHARE
from scheduler.outputs.limit.lines import Grid
from scheduler.outputs.show.page import day_of
from scheduler.outputs.words import date_in_text, day_in_text, money, plain
from scheduler.stress.lift import Lifted
from scheduler.stress.risk import Chance, DeliveryRisk, OrderRisk, Risk

PERCENT = 100


def head(risk: Risk) -> str:
    """Return which days were replayed, and how often."""
    farm = risk.farm
    first, last = (date_in_text(farm, day) for day in (0, farm.calendar.days - 1))
    return f"{first} to {last}, replayed {risk.runs:,} times, seed {risk.chances.seed}"


TRIED = (
    "Each replay is a season as luck could have it. The crew fills firm deliveries first, also from what was "
    "meant for flexible ones, cuts what else is ripe, and sows nothing that the plan does not. "
    "A delivery is as sure as the share of the replays in which it was filled wholly."
)
"""What was tried, and how the numbers are read."""


def assumptions(risk: Risk) -> str:
    """Return what was left to chance, in words."""
    slow = risk.chances.slow * PERCENT / WHOLE_SHARE
    early = risk.chances.early * PERCENT / WHOLE_SHARE
    lost = (
        "Every plant is lost or kept by the shares of the book" if risk.chances.losses else "Nothing is lost"
    )
    weeks = f"weeks are slower by a spread of {slow:g} percent in each place" if slow else "no week is slow"
    heads = f"heads may lack {early:g} percent of their days" if early else "heads are cut at their days"
    return f"{lost}; {weeks}; {heads}. Spread and missing days are estimates."


def sentences(risk: Risk) -> list[str]:
    """Return what stands out."""
    found = []
    for firm, what in ((True, "Firm deliveries"), (False, "Flexible deliveries and weeks of targets")):
        rows = risk.of(firm=firm)
        if rows:
            usual = sum(each.chance.share for each in rows) / len(rows)
            short = sum(each.short for each in rows)
            found.append(
                f"{what}: {PERCENT * usual:.1f} percent of {len(rows):,} are filled on average; "
                f"{_units(short)} of {sum(each.demand.amount for each in rows):,} units are short."
            )
    planned = [each for each in risk.of(firm=True) if each.planned >= each.demand.amount]
    if planned:
        least = min(planned, key=lambda each: each.chance.hits)
        when = date_in_text(risk.farm, least.demand.first)
        found.append(
            f"Of those the plan fills, {_named(least.demand)} on {when} is least sure: "
            f"{percent(least.chance)} percent."
        )
    return found


def _named(demand: Demand) -> str:
    """Return ``Romaine for Harbour Table (R1)``, or ``Romaine (R1)`` where no customer is named."""
    whom = f" for {plain(demand.customer)}" if demand.customer else ""
    return f"{plain(demand.product)}{whom} ({plain(demand.order)})"


def _whom(demand: Demand) -> str:
    return plain(demand.customer) or ("weekly target" if demand.is_target else "-")


def _code(demand: Demand) -> str:
    """Return an order's name; nothing where it only says again what is asked for, and by whom."""
    said = (demand.product, f"{demand.customer} {demand.product}")
    return "" if demand.order in said else plain(demand.order)


def orders_grids(orders: Sequence[OrderRisk]) -> list[Grid]:
    """Return a table of the firm orders, and one of the others; none that would be empty."""
    titles = {True: "Firm orders", False: "Flexible orders and targets"}
    of = {firm: [each for each in orders if each.first.firm is firm] for firm in titles}
    told = [firm for firm in titles if of[firm]]
    return [_orders_grid(of[firm], titles[firm], ORDERS_NOTE if firm == told[-1] else "") for firm in told]


ORDERS_NOTE = (
    "Sure is one delivery of the order on average, least its least sure one, all every one of them in one "
    "season. Short are units on average, all its deliveries together."
)


def _orders_grid(orders: Sequence[OrderRisk], title: str, note: str) -> Grid:
    return Grid(
        title=title,
        note=note,
        headings=("order", "for", "product", "times", "sure %", "least %", "all %", "short"),
        rows=tuple(
            (
                _code(each.first),
                _whom(each.first),
                plain(each.first.product),
                f"{len(each.deliveries):,}",
                f"{PERCENT * each.usual:.1f}",
                percent(each.least.chance),
                percent(each.whole),
                _units(each.short),
            )
            for each in orders
        ),
    )


def deliveries_grid(risk: Risk, rows: Sequence[DeliveryRisk], title: str) -> Grid:
    """Return a table of deliveries."""
    return Grid(
        title=title,
        note="Between are the chances that fit so many replays (score interval, 95 percent). Short are units "
        "on average.",
        headings=("day", "for", "product", "units", "sure %", "between", "short"),
        rows=tuple(
            (
                day_of(risk.farm, each.demand.first),
                _whom(each.demand),
                plain(each.demand.product),
                f"{each.demand.amount:,}",
                percent(each.chance),
                between(each.chance),
                _units(each.short),
            )
            for each in rows
        ),
    )


def at_risk(risk: Risk) -> list[DeliveryRisk]:
    """Return deliveries the plan fills and that may still be short, firm ones first, least sure first."""
    rows = [each for each in risk.deliveries if each.planned >= each.demand.amount and each.chance.share < 1]
    return sorted(rows, key=lambda each: (not each.demand.firm, each.chance.hits, each.demand.first))


def lift_grid(risk: Risk, lifted: Sequence[Lifted]) -> Grid:
    """Return the table of extra sowing."""
    rows = []
    for each in lifted:
        name = f"{_named(each.demand)}, {day_in_text(risk.farm, each.demand.first)}"
        chance = f"{PERCENT * each.before:.1f}", f"{PERCENT * each.after:.1f}"
        if not each.sowings:
            rows.append((name, *chance, "", each.why_not or "nothing more: what is sown for others does it"))
        for number, sowing in enumerate(each.sowings):
            units = "".join(f", {count} x {plain(kind)} more" for kind, count in sowing.units.items())
            told = (
                f"{counted(sowing.rows, 'row')} ({sowing.cells} cells) more of {plain(sowing.lot)} on "
                f"{day_in_text(risk.farm, sowing.day)}{units}"
            )
            cost = f"{each.cost / CENT:,.2f}"
            rows.append((name, *chance, cost, told) if not number else ("", "", "", "", told))
    return Grid(
        title="Extra sowing",
        note="Chances in percent, without and with all extra sowing of this table; cost is seed, filling and "
        "hours.",
        headings=("delivery", "before", "after", "cost", "sow"),
        rows=tuple(rows),
    )


def lift_sentence(risk: Risk, lifted: Sequence[Lifted], wish: float) -> str:
    """Return what the extra sowing comes to."""
    if not lifted:
        return f"Every delivery that was asked about has {PERCENT * wish:g} percent already."
    if not any(each.sowings for each in lifted):
        return f"No extra sowing was found that lifts a delivery to {PERCENT * wish:g} percent."
    met = sum(each.after >= wish for each in lifted)
    cost = money(risk.farm, sum(each.cost for each in lifted))
    return (
        f"Of the deliveries below {PERCENT * wish:g} percent {met} of {len(lifted)} can be lifted to it, for "
        f"{cost} in all; the plan with all of it was judged by the audit and replayed."
    )


def percent(chance: Chance) -> str:
    """Return a chance in percent; only what never failed is 100, and only what always did is 0."""
    told = f"{PERCENT * chance.share:.1f}"
    if told == "100.0" and chance.hits < chance.runs:
        return ">99.9"
    return "<0.1" if told == "0.0" and chance.hits else told


def between(chance: Chance) -> str:
    """Return the chances that fit, in percent."""
    low, high = chance.between
    return f"{PERCENT * low:.1f}-{PERCENT * high:.1f}"


def _units(number: float) -> str:
    return "0" if number == 0 else (f"{number:,.1f}" if number >= 0.05 else "<0.1")
