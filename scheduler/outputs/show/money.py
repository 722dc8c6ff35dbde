"""The page of money by crop: what each earns for the space it takes, and how that comes about."""

from collections.abc import Iterator

from rich.table import Table
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.crop_money import (
    WHOLE,
    hours_text,
    is_large,
    money_text,
    named_lines,
    notes,
    weeks_text,
)
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, row, table, titled
from scheduler.outputs.words import date_in_text, plain
from scheduler.plan.rows import Plan
from scheduler.plan.views.crop_money import CropMoney, MoneyByCrop, money_by_crop

Column = tuple[str, list[str]]
"""Heading, and a text for every line."""


def money_page(farm: Farm, plan: Plan) -> Iterator[Part]:
    """Yield what each crop brings, costs and holds."""
    found = money_by_crop(farm, plan)
    last = farm.calendar.days - 1
    yield heading(f"{plain(farm.name)}: {date_in_text(farm, farm.today)} to {date_in_text(farm, last)}")
    if not found.crops:
        yield Text("No crop stands anywhere, is paid for or brings anything.")
        return
    names = [*(name for name, _ in named_lines(found)), WHOLE]
    lines = [*(line for _, line in named_lines(found)), found.whole]
    if found.priced:
        currency = plain(farm.currency).strip()
        yield titled(f"What is left for the space each crop takes{f', in {currency}' if currency else ''}")
        yield _table(names, _for_space(found, lines))
        yield titled("How that comes about")
        yield _table(names, _accounts(found, lines))
    else:
        yield titled("Hours and space")
        yield _table(names, [_hours(lines), *_space(found, lines)])
    yield Text()
    for note in notes(found):
        yield Text(note)


def _for_space(found: MoneyByCrop, lines: list[CropMoney]) -> list[Column]:
    large = is_large(found)
    columns = [("left", [money_text(line.left, large=large) for line in lines]), *_space(found, lines)]
    crops = lines[:-1]  # of all crops together it would mix what stands in water with what does not
    if any(line.area for line in crops):
        columns.append(("a m²-week", [*(money_text(line.for_area) for line in crops), ""]))
    if any(line.for_slot is not None for line in crops):
        columns.append(("a slot-week", [*(money_text(line.for_slot) for line in crops), ""]))
    return columns


def _space(found: MoneyByCrop, lines: list[CropMoney]) -> list[Column]:
    columns = []
    if found.whole.area:
        columns.append(("m²-weeks", [weeks_text(line.area) for line in lines]))
    if found.whole.slots:
        columns.append(("slot-weeks", [weeks_text(line.slots) for line in lines]))
    return columns


def _hours(lines: list[CropMoney]) -> Column:
    return "hours", [hours_text(line.minutes) for line in lines]


def _accounts(found: MoneyByCrop, lines: list[CropMoney]) -> list[Column]:
    large = is_large(found)
    return [
        ("brought", [money_text(line.brought, large=large) for line in lines]),
        ("seed", [money_text(line.seed, large=large) for line in lines]),
        ("filling", [money_text(line.filling, large=large) for line in lines]),
        _hours(lines),
        ("work", [money_text(line.work, large=large) for line in lines]),
        ("left", [money_text(line.left, large=large) for line in lines]),
    ]


def _table(names: list[str], columns: list[Column]) -> Table:
    made = table("rest", *["number"] * len(columns))
    row(made, "", *(heading for heading, _ in columns))
    for at, name in enumerate(names):
        row(made, name, *(texts[at] for _, texts in columns))
    return made
