"""Tables and sentences of a replayed plan as text, the same on the screen and on paper."""

from collections.abc import Sequence

from scheduler.farm.units import CENT, WHOLE_SHARE
from scheduler.outputs.limit.lines import Grid
from scheduler.outputs.words import money, plain
from scheduler.plan.words import counted
from scheduler.stress.lift import Lifted
from scheduler.stress.risk import Chance, DeliveryRisk, OrderRisk, Risk

PERCENT = 100


def head(risk: Risk) -> str:
    """Return which days were replayed, and how often."""
    calendar = risk.farm.calendar
    first, last = calendar.date_of(0), calendar.date_of(calendar.days - 1)
    return f"{first} to {last}, replayed {risk.runs:,} times, seed {risk.chances.seed}"


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
        found.append(
            f"Of those the plan fills, {plain(least.demand.name)} is least sure: "
            f"{percent(least.chance)} percent."
        )
    return found


def orders_grid(orders: Sequence[OrderRisk]) -> Grid:
    """Return the table of orders."""
    return Grid(
        title="Orders and targets",
        note="Average is the chance of one delivery, least that of the least sure one; none short says how "
        "often none of an order's deliveries was short. Short are units on average, all deliveries together.",
        headings=("order", "product", "firm", "times", "average %", "least %", "none short %", "short"),
        rows=tuple(
            (
                plain(each.first.order),
                plain(each.first.product),
                "yes" if each.first.firm else "no",
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
        note="Between are the chances that fit so many runs (score interval, 95 percent). Plan are units the "
        "plan has for it.",
        headings=("day", "order", "product", "units", "plan", "sure %", "between", "short"),
        rows=tuple(
            (
                str(risk.farm.date_of(each.demand.first)),
                plain(each.demand.order),
                plain(each.demand.product),
                f"{each.demand.amount:,}",
                f"{each.planned:,}",
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
        name = plain(each.demand.name)
        chance = f"{PERCENT * each.before:.1f}", f"{PERCENT * each.after:.1f}"
        if not each.sowings:
            rows.append((name, *chance, "", each.why_not or "nothing more: what is sown for others does it"))
        for number, sowing in enumerate(each.sowings):
            units = "".join(f", {count} x {plain(kind)} more" for kind, count in sowing.units.items())
            told = (
                f"{counted(sowing.rows, 'row')} ({sowing.cells} cells) more of {plain(sowing.lot)} on "
                f"{risk.farm.date_of(sowing.day)}{units}"
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
