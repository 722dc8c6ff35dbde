"""Money by crop, ready for the pages at the back."""

from dataclasses import dataclass

from markupsafe import Markup

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
from scheduler.outputs.report.say import own
from scheduler.plan.rows import Plan
from scheduler.plan.views.crop_money import CropMoney, money_by_crop

UNPRICED = ("Hours", "m²-weeks", "Slot-weeks")
PRICED = (
    *("Brought", "Seed", "Filling", "Hours", "Work", "Left", "m²-weeks", "Slot-weeks"),
    *("A m²-week", "A slot-week"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class MoneyTable:
    """A table with the currency in its title; ``rows`` are (name, cells), ``sum`` the cells of all."""

    title: Markup
    heads: tuple[str, ...]
    rows: tuple[tuple[Markup, tuple[str, ...]], ...]
    name_of_sum: str
    sum: tuple[str, ...]
    foot: str


def money_table(farm: Farm, plan: Plan) -> MoneyTable | None:
    """Return money by crop, or hours and space where nothing has a price; None without any crop."""
    found = money_by_crop(farm, plan)
    if not found.crops:
        return None
    large, priced = is_large(found), found.priced

    def cells(line: CropMoney, *, summed: bool = False) -> tuple[str, ...]:
        if not priced:
            return hours_text(line.minutes), weeks_text(line.area), weeks_text(line.slots)
        brought, seed, filling, work, left = (
            money_text(each, large=large)
            for each in (line.brought, line.seed, line.filling, line.work, line.left)
        )
        earned = ("", "") if summed else (money_text(line.for_area), money_text(line.for_slot))
        space = (weeks_text(line.area), weeks_text(line.slots))
        return brought, seed, filling, hours_text(line.minutes), work, left, *space, *earned

    lines = [(own(name), cells(line)) for name, line in named_lines(found)]
    total = cells(found.whole, summed=True)
    # columns of nothing, such as slots on a farm without shelves, would only take room from the names
    shown = [at for at, cell in enumerate(total) if cell or any(line[at] for _, line in lines)]
    heads = PRICED if priced else UNPRICED
    return MoneyTable(
        title=Markup("What each crop earns for the space it takes, in {}").format(own(farm.currency))
        if priced and farm.currency.strip()
        else Markup("Hours and space of each crop" if not priced else "What each crop earns for its space"),
        heads=tuple(heads[at] for at in shown),
        rows=tuple((name, tuple(line[at] for at in shown)) for name, line in lines),
        name_of_sum=WHOLE.capitalize(),
        sum=tuple(total[at] for at in shown),
        foot=" ".join(notes(found)),
    )
