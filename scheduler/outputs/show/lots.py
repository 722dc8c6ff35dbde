"""The page of one lot: its way from seed to delivery."""

from collections.abc import Iterator

from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, left_out, row, table, titled
from scheduler.outputs.words import counted, date_in_text, day_in_text, plain, some
from scheduler.plan.layout.words import slots_in_words
from scheduler.plan.positions import positions_text
from scheduler.plan.rows import Plan
from scheduler.plan.views.lot_path import LotPath, Sale, Stay, lot_path
from scheduler.plan.words import cell_word, heads_in_words, plant_word, seed_in_words, worth_listing

LINES = 6
"""Lines of one kind before the rest is counted."""
UNITS = 3


def lot_page(farm: Farm, plan: Plan, lot: str) -> Iterator[Part]:
    """Yield the way of a lot.

    Raises:
        KeyError: the plan has no such lot.
    """
    path = lot_path(farm, plan, lot)
    variety = f" ({plain(path.crop.variety)})" if path.crop.variety else ""
    yield heading(f"Lot {plain(lot)}: {plain(path.crop.name)}{variety}")
    yield Text(_origin(farm, path))
    yield from _stood(farm, path)
    yield from _cut(farm, path)
    yield from _delivered(farm, path)
    yield from _sold_at_outlets(farm, path)
    if path.unsold:
        yield Text(f"Not asked for: {heads_in_words(path.crop, path.unsold)}")


def _stood(farm: Farm, path: LotPath) -> Iterator[Part]:
    for item, title in (
        ("tray", "In trays"),
        ("board", "On boards"),
        ("raft", "On rafts, each until its last cut"),
        ("bed", "In beds, until they are pulled out"),
    ):
        stays = [stay for stay in path.stays if stay.item == item]
        if stays:
            where = "tables/plantings.csv" if item == "bed" else "tables/contents.csv"
            yield from _listed([_stay(farm, stay, path.crop.name) for stay in stays], title, where)


def _cut(farm: Farm, path: LotPath) -> Iterator[Part]:
    if not path.cuts:
        return
    what = "picking" if path.crop.picking else "cut"
    cuts = [
        (
            day_of(farm, cut.day),
            f"{counted(cut.plants, plant_word(path.crop))}, {heads_in_words(path.crop, cut.heads)}",
            f"from {plain(cut.lane)}, {some(cut.rafts, UNITS)}"
            + (f", {what} {cut.number}" if path.crop.cuts > 1 or path.crop.picking else ""),
        )
        for cut in path.cuts
    ]
    total = heads_in_words(path.crop, sum(cut.heads for cut in path.cuts))
    title, table_of = ("Picked", "pickings") if path.crop.picking else ("Cut", "cuts")
    yield from _listed(cuts, f"{title}: {total}", f"tables/{table_of}.csv")


def _delivered(farm: Farm, path: LotPath) -> Iterator[Part]:
    if not path.sales:
        return
    sales = [
        (
            day_of(farm, sale.cut_day if sale.demand.target else sale.demand.day),
            heads_in_words(path.crop, sale.heads),
            _for_whom(farm, sale, in_bed=path.crop.picking is not None),
        )
        for sale in path.sales
    ]
    total = heads_in_words(path.crop, sum(sale.heads for sale in path.sales))
    yield from _listed(sales, f"Delivered: {total}", "tables/fills.csv")


def _sold_at_outlets(farm: Farm, path: LotPath) -> Iterator[Part]:
    if not path.outlets:
        return
    at_outlets = [
        (day_of(farm, day), heads_in_words(path.crop, heads), f"at {plain(outlet)}: {plain(product)}")
        for day, outlet, product, heads in path.outlets
    ]
    total = heads_in_words(path.crop, sum(heads for *_, heads in path.outlets))
    yield from _listed(at_outlets, f"Sold at outlets: {total}", "tables/sales.csv")


def _for_whom(farm: Farm, sale: Sale, *, in_bed: bool) -> str:
    demand = sale.demand
    if demand.target:
        return f"for {demand.order}, week of {day_in_text(farm, demand.day)}: {sale.product}"
    cut = f"{'picked' if in_bed else 'cut'} {day_in_text(farm, sale.cut_day)}"
    return f"{cut}, for {demand.customer or demand.order}: {sale.product} ({demand.order})"


def _origin(farm: Farm, path: LotPath) -> str:
    lot = path.lot
    if lot.origin == "sown" and lot.sown is not None:
        seeds = f"{seed_in_words(path.crop, lot.seeds)} in {counted(lot.cells, cell_word(farm, lot.crop))}"
        if path.crop.bought:
            return f"Bought in, came {date_in_text(farm, lot.sown)}: {seeds}"
        if path.crop.is_cut_in_trays:
            return f"Sown {date_in_text(farm, lot.sown)}: {seeds}"
        return (
            f"Sown {date_in_text(farm, lot.sown)}: {seeds}, {counted(lot.plants, 'good seedling')} expected"
        )
    sown = f", sown {date_in_text(farm, lot.sown)}" if lot.sown is not None else ""
    said = f"Found growing on the first day{sown}: {counted(lot.plants, 'plant')}"
    if lot.discarded:
        said += f", {lot.discarded:,} of them thrown away"
    return said + (", past its last good day" if lot.overdue else "")


def _stay(farm: Farm, stay: Stay, crop: str) -> tuple[str, str, str]:
    noun = cell_word(farm, crop) if stay.item == "tray" and stay.enters >= 0 else "plant"
    slots = f" {slots_in_words(stay.slots)}" if stay.slots and stay.item not in ("raft", "bed") else ""
    if stay.item == "bed":
        slots = f" positions {positions_text(stay.slots)}"
    shared = f", with {some(stay.shared, 2)}" if stay.shared else ""
    where = f"{stay.place}{slots}: " if stay.place else ""
    return (
        f"{day_of(farm, stay.enters)} to {day_of(farm, stay.leaves)}",
        counted(stay.plants, noun),
        f"{where}{some(stay.units, UNITS)}{shared}{', thrown away' if stay.to == 'out' else ''}",
    )


def _listed(rows: list[tuple[str, str, str]], title: str, where: str) -> Iterator[Part]:
    yield titled(title)
    lines = table("days", "amount", "rest")
    shown = worth_listing(len(rows), LINES)
    for cells in rows[:shown]:
        row(lines, *cells)
    yield lines
    if len(rows) > shown:
        yield left_out(len(rows) - shown, where)
