"""The boxes of each share, day by day, from the plan's rows: what is in them and what is short."""

from collections import defaultdict
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.plan.rows_boxes import BoxItemRow, BoxRow


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxLine:
    """What one place of a box holds.

    Attributes:
        row: the plan's row; its product is empty where nothing is in the place.
        pack: what one unit is.
        crops: names of the crops that were cut for it, in the farm's order.
        short: units of the place that are missing in all boxes of the day together; told on its first line.
    """

    row: BoxItemRow
    pack: str
    crops: tuple[str, ...]
    short: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxPage:
    """The boxes of one share on one day."""

    row: BoxRow
    lines: tuple[BoxLine, ...]

    @property
    def products(self) -> tuple[str, ...]:
        """The products in the box, each once."""
        return tuple(dict.fromkeys(line.row.product for line in self.lines if line.row.product))


def box_pages(farm: Farm, plan: Plan) -> dict[str, list[BoxPage]]:
    """Return share -> its boxes on reported days, by day; shares in the order of the book."""
    crops: dict[str, set[str]] = defaultdict(set)
    for fill in plan.fills:
        crops[fill.demand].add(fill.crop)
    items: dict[tuple[str, int], list[BoxItemRow]] = defaultdict(list)
    for row in plan.box_items:
        items[row.share, row.day].append(row)
    pages: dict[str, list[BoxPage]] = {name: [] for name in farm.boxes.shares}
    for box in sorted(plan.boxes, key=lambda row: row.day):
        if box.reported and box.share in pages:
            own = items[box.share, box.day]
            pages[box.share].append(BoxPage(row=box, lines=tuple(_lines(farm, own, crops))))
    return {name: found for name, found in pages.items() if found}


def _lines(farm: Farm, rows: list[BoxItemRow], crops: dict[str, set[str]]) -> list[BoxLine]:
    filled: dict[str, int] = defaultdict(int)
    for row in rows:
        filled[row.demand] += row.filled
    told: set[str] = set()
    lines = []
    for row in rows:
        product = farm.products.get(row.product)
        short = 0 if row.demand in told else max(0, row.wanted - filled[row.demand])
        told.add(row.demand)
        lines.append(
            BoxLine(
                row=row,
                pack=product.pack if product else "unit",
                crops=tuple(
                    name
                    for name in farm.crops
                    if product and name in product.sources and name in crops[row.demand]
                ),
                short=short,
            )
        )
    return lines  # fmt: skip
