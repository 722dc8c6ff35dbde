"""A replayed plan as one page of HTML to read and to print, and as tables; the page loads nothing."""

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from scheduler.farm.units import CENT
from scheduler.outputs.guarded import csv_bytes
from scheduler.outputs.limit.lines import Grid
from scheduler.outputs.report.page import frame_of_page
from scheduler.outputs.report.say import own
from scheduler.outputs.stress.charts import weekly_chart
from scheduler.outputs.stress.lines import (
    TRIED,
    assumptions,
    at_risk,
    deliveries_grid,
    head,
    lift_grid,
    lift_sentence,
    orders_grids,
    sentences,
)
from scheduler.outputs.templates import environment
from scheduler.plan.words import worth_listing
from scheduler.stress.lift import Lift
from scheduler.stress.risk import Risk

MOST_ROWS = 60
"""Deliveries on the page; the table has them all."""

LONG = 20
"""A table of more rows may go on over the next page."""


def stress_files(risk: Risk, lift: Lift | None, wish: float, made: str) -> dict[str, bytes]:
    """Return file name -> contents: the page, and a table of deliveries, of orders and of extra sowing."""
    files = {
        "stress.html": stress_html(risk, lift, wish, made).encode(),
        "deliveries.csv": csv_bytes(_deliveries(risk)),
        "orders.csv": csv_bytes(_orders(risk)),
    }
    if lift is not None:
        files["extra_sowing.csv"] = csv_bytes(_extra(risk, lift))
    return files


def stress_html(risk: Risk, lift: Lift | None, wish: float, made: str) -> str:
    """Return the page; ``made`` says by what."""
    grids, kind = orders_grids(risk.orders), "firm deliveries" if risk.of(firm=True) else "deliveries"
    rows = at_risk(risk)
    if rows:
        grids.append(deliveries_grid(risk, rows, "Deliveries the plan fills, least sure first"))
    said = [TRIED, assumptions(risk), *sentences(risk)]
    if lift is not None:
        said.append(lift_sentence(risk, lift.lifted, wish))
        if lift.lifted:
            grids.insert(0, lift_grid(risk, lift.lifted))
    return (
        environment("scheduler.outputs.stress")
        .get_template("stress.html.j2")
        .render(
            **frame_of_page(risk.farm, "Risk"),
            head=own(head(risk)),
            sentences=[own(sentence) for sentence in said],
            grids=[_escaped(grid) for grid in grids],
            chart=Markup(weekly_chart(risk)),
            caption=f"Chance of the {kind} of each week: on average, and of the least sure one.",
            made=made,
        )
    )


def _escaped(grid: Grid) -> dict[str, object]:
    """Return a table; what a grower named is shown as it is, and never as markup."""
    shown = worth_listing(len(grid.rows), MOST_ROWS) if grid.headings[0] == "day" else len(grid.rows)
    words = {at for at, name in enumerate(grid.headings) if name in {"for", "product", "sow"}}
    return {
        "title": grid.title,
        "note": grid.note,
        "headings": [(heading, at in words) for at, heading in enumerate(grid.headings)],
        "long": len(grid.rows) > LONG,
        "more": f"{len(grid.rows) - shown:,}" if shown < len(grid.rows) else "",
        "rows": [
            (own(row[0]), [(own(cell), at in words) for at, cell in enumerate(row[1:], start=1)])
            for row in grid.rows[:shown]
        ],
    }


def _deliveries(risk: Risk) -> Iterator[Sequence[str]]:
    yield (
        *("demand", "order", "customer", "product", "day", "last", "firm", "target", "amount", "planned"),
        *("runs", "filled", "chance", "low", "high", "short"),
    )
    for each in risk.deliveries:
        demand, (low, high) = each.demand, each.chance.between
        yield (
            *(demand.name, demand.order, demand.customer, demand.product),
            *(str(risk.farm.date_of(day)) for day in (demand.first, demand.last)),
            *("yes" if told else "no" for told in (demand.firm, demand.is_target)),
            *(str(number) for number in (demand.amount, each.planned, each.chance.runs, each.chance.hits)),
            *(f"{share:.4f}" for share in (each.chance.share, low, high, each.short)),
        )


def _orders(risk: Risk) -> Iterator[Sequence[str]]:
    yield (
        *("order", "customer", "product", "firm", "target", "deliveries", "usual", "least", "least_day"),
        *("runs", "all_filled", "all", "low", "high", "short"),
    )
    for each in risk.orders:
        first, (low, high) = each.first, each.whole.between
        yield (
            *(first.order, first.customer, first.product),
            *("yes" if told else "no" for told in (first.firm, first.is_target)),
            str(len(each.deliveries)),
            *(f"{share:.4f}" for share in (each.usual, each.least.chance.share)),
            str(risk.farm.date_of(each.least.demand.first)),
            *(str(each.whole.runs), str(each.whole.hits)),
            *(f"{share:.4f}" for share in (each.whole.share, low, high, each.short)),
        )


def _extra(risk: Risk, lift: Lift) -> Iterator[Sequence[str]]:
    yield (
        *("demand", "before", "after", "cost", "lot", "crop", "sow_day", "rows", "cells", "more_units"),
        "why_not",
    )
    for each in lift.lifted:
        told = (each.demand.name, f"{each.before:.4f}", f"{each.after:.4f}", f"{each.cost / CENT:.2f}")
        for sowing in each.sowings:
            units = "; ".join(f"{count} {kind}" for kind, count in sowing.units.items())
            sown = (sowing.lot, sowing.crop, str(risk.farm.date_of(sowing.day)))
            yield *told, *sown, str(sowing.rows), str(sowing.cells), units, each.why_not
        if not each.sowings:
            yield *told, "", "", "", "", "", "", each.why_not
