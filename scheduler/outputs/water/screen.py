"""The balance of feed as a page for the terminal."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, row, table
from scheduler.outputs.water import DECIDE
from scheduler.outputs.water.say import area, summed, tanks_in_words, what_is_off
from scheduler.outputs.words import counted, plain
from scheduler.plan.rows_water import WaterRow


def water_page(farm: Farm, rows: Sequence[WaterRow], planted: str) -> Iterator[Part]:
    """Yield the balance of each loop, week by week.

    Args:
        farm: the farm, with fish.
        rows: its balance.
        planted: where the areas come from, in words.
    """
    yield heading(f"{plain(farm.name)}: fish feed and plants")
    yield Text(planted)
    for sentence in (*tanks_in_words(farm), *summed(farm, rows)):
        yield Text(sentence)
    for loop in dict.fromkeys(each.loop for each in rows):
        yield Text("")
        yield heading(plain(loop))
        made = table("", "number", "number", "number", "rest")
        row(made, "from", "planted", "asked, g/d", "eaten", "")
        own = [(_cells(each), each) for each in rows if each.loop == loop]
        for cells, weeks in groupby(own, key=lambda each: each[0]):
            same = [each for _, each in weeks]
            *numbers, said = cells
            many = f"; {counted(len(same), 'week')} alike" if len(same) > 1 else ""
            row(made, day_of(farm, same[0].day), *numbers, said + many)
        yield made
    yield Text("")
    yield Text(DECIDE)


def _cells(row: WaterRow) -> tuple[str, str, str, str]:
    said = "; ".join(part for part in (row.state, what_is_off(row), row.remark) if part)
    asked = f"{row.asked_low:,}-{row.asked_high:,}"
    return area(row.leafy + row.fruiting), asked, f"{row.eaten:,}", said
