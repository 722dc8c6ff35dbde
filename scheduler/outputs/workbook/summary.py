"""The first sheet: what the plan reaches, in words and in numbers, and what the other sheets hold."""

import math
from collections.abc import Iterable, Iterator, Sequence

from openpyxl.cell.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.workbook.workbook import Workbook
from openpyxl.worksheet.hyperlink import Hyperlink
from openpyxl.worksheet.worksheet import Worksheet

from scheduler.book.to_xlsx_sheets import font
from scheduler.farm.dates import short_day
from scheduler.farm.farm import Farm
from scheduler.outputs.words import counted, day_in_text, hours_in_text, money, plain, shortened
from scheduler.outputs.workbook.by_week import KINDS
from scheduler.outputs.workbook.cells import Kind, Pen, Value, text_cell
from scheduler.outputs.workbook.sheets import Page, Rows, TableSheet, finish_sheet, heading_cell, lines_of
from scheduler.outputs.workbook.work import in_money
from scheduler.plan.instead import instead
from scheduler.plan.outlets import gone
from scheduler.plan.rows import Plan
from scheduler.plan.views.fullest import kind_season
from scheduler.plan.views.reached import Shortfall, Totals, crop_totals, reached, shortfalls, totals
from scheduler.plan.views.season import Asked
from scheduler.plan.words import done_word, own_nouns, seed_sum, sum_nouns, worth_listing

TITLE = "What the plan reaches"
WIDTHS = (26, *[14] * 8)
NAMED = 3
"""Short deliveries that are named; the sheet of shortfalls has all."""

LONGEST_NAME = 30

Block = Sequence[Sequence[Value]]


def write_summary(
    workbook: Workbook, farm: Farm, plan: Plan, page: Page, sheets: Sequence[TableSheet]
) -> None:
    """Write the first sheet; ``sheets`` are the tables that follow, for the list at its end."""
    sheet: Worksheet = workbook.create_sheet("summary")
    for at, width in enumerate(WIDTHS, start=1):
        sheet.column_dimensions[get_column_letter(at)].width = width
    finish_sheet(sheet, TITLE, page)
    sheet.sheet_view.showGridLines = False
    rows = Rows(sheet)
    rows.add([text_cell(sheet, farm.name, font(bold=True, size=16))], lines=1.6)
    rows.add([text_cell(sheet, _when(farm))])
    _say(rows, "Reached", words_of(farm, plan))
    _put(rows, "Deliveries", DELIVERIES, _deliveries(plan))
    _put(rows, "Goals, each kept before the next", GOALS, _goals(plan))
    crops = (*_crop_columns(farm), (in_money(farm, "seed"), Kind.MONEY))
    _put(rows, "Crops", crops, _crops(farm, plan))
    # links to other sheets are for the screen; on paper they would take a page of their own
    sheet.print_area = f"A1:{get_column_letter(len(WIDTHS))}{rows.number}"
    _link(rows, sheets)


DELIVERIES = (
    ("", Kind.TEXT),
    ("asked for", Kind.WHOLE),
    ("filled", Kind.WHOLE),
    ("short", Kind.WHOLE),
    ("too early or out of reach", Kind.WHOLE),
    ("units ordered", Kind.WHOLE),
    ("units filled", Kind.WHOLE),
    ("units short", Kind.WHOLE),
    ("units too early or out of reach", Kind.WHOLE),
)
GOALS = (
    ("goal", Kind.TEXT),
    ("", Kind.TEXT),
    ("reached", Kind.NUMBER),
    ("unit", Kind.TEXT),
    ("proven limit", Kind.NUMBER),
    ("", Kind.TEXT),
)


def words_of(farm: Farm, plan: Plan) -> list[tuple[str, str]]:
    """Return what the plan reaches as (about what, sentence)."""
    kinds = reached(plan)
    said = [(name.capitalize(), _filled(each)) for name, each in kinds.items()]
    if not kinds:
        said.append(("Deliveries", "None were asked for."))
    said += [
        (
            "Substitutes",
            f"In place of {_brief(each.product)}: {counted(each.units, 'unit')} of "
            f"{_brief(each.substitute)}, in {counted(each.deliveries, 'delivery')}.",
        )
        for each in instead(farm, plan)
    ]
    said += _named(farm, shortfalls(plan))
    found = totals(farm, plan)
    said += [*_goods(farm, plan, found), *_worked(farm, found)]
    said += [
        (
            f"{KINDS[kind].capitalize()} in use",
            f"{day.used:,} of {counted(day.there, 'slot')} on the fullest day, "
            f"{day_in_text(farm, day.day)}{': full' if day.full else ''}.",
        )
        for kind, day in kind_season(farm, plan).items()
    ]
    return said + _bought(farm, found)


def _goods(farm: Farm, plan: Plan, found: Totals) -> Iterator[tuple[str, str]]:
    """Yield where all heads go, and what each outlet sells of them."""
    goods = gone(farm, plan)
    sold = sum(goods.sold.values())
    at_outlets = f"{sold:,} are sold at outlets, " if farm.outlets else ""
    yield (
        sum_nouns(farm).capitalize(),
        f"{found.heads:,} are {done_word(farm)}, {found.delivered:,} go into deliveries, {at_outlets}"
        f"{found.heads - found.delivered - sold:,} are left over.",
    )
    for outlet, units in goods.units.items():
        yield _brief(outlet), f"{counted(units, 'unit')} sold, for {money(farm, goods.takings[outlet])}."


def _when(farm: Farm) -> str:
    calendar = farm.calendar
    first, last = calendar.first_day, calendar.date_of(calendar.days - 1)
    today = f"; nothing new is done before {day_in_text(farm, farm.today)}" if farm.today else ""
    return f"Plan from {short_day(first)} {first.year} to {short_day(last)} {last.year}{today}"


def _filled(each: Asked) -> str:
    if each.complete == each.deliveries:
        return f"All {each.deliveries:,} are filled, {counted(each.filled, 'unit')}."
    parts = [f"{each.complete:,} of {each.deliveries:,} are filled."]
    if each.short:
        parts.append(f"Short: {each.short:,}, by {counted(each.missing, 'unit')}.")
    if each.unreachable:
        parts.append(f"Too early for any sowing, or without a harvest day near enough: {each.unreachable:,}.")
    return " ".join(parts)


def _named(farm: Farm, missing: Sequence[Shortfall]) -> list[tuple[str, str]]:
    short = [each for each in missing if each.row.state == "short"]
    shown = worth_listing(len(short), NAMED)
    said = [
        (
            f"Short on {day_in_text(farm, each.row.day)}",
            f"{_brief(each.row.customer or each.row.order)}, {_brief(each.row.product)}: "
            f"{each.missing:,} of {counted(each.row.amount, 'unit')} missing.",
        )
        for each in short[:shown]
    ]
    if len(short) > shown:
        said.append(("", f"{len(short) - shown:,} more are short: see the sheet shortfalls."))
    return said


def _worked(farm: Farm, found: Totals) -> list[tuple[str, str]]:
    if found.busiest is None:
        return []
    week = day_in_text(farm, found.busiest.first)
    return [
        (
            "Work",
            f"{hours_in_text(found.minutes)} hours in all; most in the week from {week}: "
            f"{hours_in_text(found.busiest.minutes)} hours.",
        )
    ]


def _bought(farm: Farm, found: Totals) -> list[tuple[str, str]]:
    said = [("Seed sown", f"{seed_sum(farm, found.seed)}{_for_money(farm, found.seed_cost)}.")]
    if found.orders:
        late = f" {found.late:,} of them come late: order today." if found.late else ""
        orders = counted(found.orders, "order")
        said.append(
            ("To order", f"{orders} of seed and packaging{_for_money(farm, found.order_cost)}.{late}")
        )
    return said


def _for_money(farm: Farm, cost: int) -> str:
    return f" for {money(farm, cost)}" if cost else ""


def _brief(name: str) -> str:
    return shortened(plain(name), LONGEST_NAME)


def _deliveries(plan: Plan) -> Block:
    return [
        (
            name,
            each.deliveries,
            each.complete,
            each.short,
            each.unreachable,
            each.ordered,
            each.filled,
            each.missing,
            each.beyond,
        )
        for name, each in reached(plan).items()
    ]


def _goals(plan: Plan) -> Block:
    return [
        (f"{row.level}. {row.goal}", None, _known(row.value), row.unit, _known(row.bound), row.status)
        for row in plan.goals
    ]


def _known(value: float | None) -> Value:
    return value if value is not None and math.isfinite(value) else "not known"


def _crop_columns(farm: Farm) -> tuple[tuple[str, Kind], ...]:
    return (
        ("crop", Kind.TEXT),
        ("lots sown", Kind.WHOLE),
        ("cells", Kind.WHOLE),
        ("seeds", Kind.WHOLE),
        (f"{own_nouns(farm)} {done_word(farm)}", Kind.WHOLE),
        ("to deliveries", Kind.WHOLE),
        ("left over", Kind.WHOLE),
    )


def _crops(farm: Farm, plan: Plan) -> Block:
    return [
        (
            each.crop,
            each.lots,
            each.cells,
            each.seeds,
            each.heads,
            each.delivered,
            each.left,
            each.seed_cost,
        )
        for each in crop_totals(farm, plan)
    ]


def _say(rows: Rows, title: str, lines: Iterable[tuple[str, str]]) -> None:
    rows.begin(title)
    for about, sentence in lines:
        rows.add([text_cell(rows.sheet, about), text_cell(rows.sheet, sentence)])


def _put(rows: Rows, title: str, columns: Sequence[tuple[str, Kind]], block: Block) -> None:
    """Write a small table under a title; nothing when it has no rows."""
    if not block:
        return
    rows.begin(title)
    lines = max(lines_of(name, width - 1) for (name, _), width in zip(columns, WIDTHS, strict=False))
    rows.add([heading_cell(rows.sheet, name, kind) for name, kind in columns], lines=lines)
    pens = [Pen(rows.sheet, kind) for _, kind in columns]
    for row in block:
        rows.add([pen.cell(value) for pen, value in zip(pens, row, strict=True)])


def _link(rows: Rows, sheets: Sequence[TableSheet]) -> None:
    rows.begin("Sheets of this workbook")
    for name, title in (
        ("charts", "The plan in charts"),
        *((each.name, each.title) for each in sheets),
        ("made", "How the plan was made, its settings, and what this workbook leaves out"),
    ):
        link: Cell = text_cell(rows.sheet, name, font(underline="single"))
        link.hyperlink = Hyperlink(ref="A1", location=f"'{name}'!A1", display=name)
        rows.add([link, text_cell(rows.sheet, title)])
