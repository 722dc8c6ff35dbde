"""Sheets of what grows and where it goes: lots, harvests, deliveries, and what is not filled."""

from collections import defaultdict
from collections.abc import Sequence

from scheduler.farm.farm import Farm
from scheduler.outputs.words import day_in_text
from scheduler.outputs.workbook.cells import Kind, Value
from scheduler.outputs.workbook.sheets import CLOSED, SHORT, Column, Mark, TableSheet
from scheduler.outputs.workbook.work import in_money
from scheduler.plan.rows import DemandRow, FillRow, Plan
from scheduler.plan.sale_rows import SaleRow
from scheduler.plan.tally import units_given
from scheduler.plan.views.harvests import harvests
from scheduler.plan.views.lots import LotStory, lot_stories
from scheduler.plan.views.reached import shortfalls
from scheduler.plan.words import head_word, heads_in_words, own_nouns


def lots_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return every lot with its days, rows and heads."""
    rows = {row.lot: row for row in plan.lots}
    varieties = {name: crop.variety for name, crop in farm.crops.items()}
    beds = bool(plan.plantings)
    return TableSheet(
        name="lots",
        title="Lots from seed to last cut",
        columns=_lot_columns(farm, beds),
        rows=[
            (
                lot.lot,
                lot.crop,
                varieties.get(lot.crop, ""),
                _day(farm, lot.sown),
                lot.cells or None,
                rows[lot.lot].plants,
                _day(farm, lot.boards.first if lot.boards else None),
                _day(farm, lot.rafts.first if lot.rafts else None),
                lot.rafts.units if lot.rafts else None,
                *_in_beds(farm, lot, beds),
                _places(lot),
                _day(farm, lot.first_cut),
                _day(farm, lot.last_cut),
                lot.heads,
                lot.left,
                _remark(lot),
            )
            for lot in lot_stories(farm, plan)
        ],
        empty="Nothing is sown, and nothing grows.",
    )


def _lot_columns(farm: Farm, beds: bool) -> tuple[Column, ...]:
    return (
        Column(heading="lot"),
        Column(heading="crop", widest=20),
        Column(heading="variety", widest=18),
        Column(heading="sown", kind=Kind.DATE),
        Column(heading="cells", kind=Kind.WHOLE),
        Column(
            heading="plants",
            kind=Kind.WHOLE,
            note="Good seedlings counted on; of what grows already, plants standing.",
        ),
        Column(heading="on boards from", kind=Kind.DATE),
        Column(heading="on rafts from", kind=Kind.DATE),
        Column(heading="rafts", kind=Kind.WHOLE, note="Those it shares with other lots included."),
        *(IN_BEDS if beds else ()),
        Column(heading="rows or beds" if beds else "rows", kind=Kind.LONG, widest=22),
        Column(heading="first cut", kind=Kind.DATE),
        Column(heading="last cut", kind=Kind.DATE),
        Column(heading=_heads(farm), kind=Kind.WHOLE, note="Of all its cuts, also past the last day."),
        Column(heading="left over", kind=Kind.WHOLE, note="What of that nobody asked for."),
        Column(heading="remark", kind=Kind.LONG, widest=24),
    )


def _heads(farm: Farm) -> str:
    """Return the heading of what is cut: no other column of a sheet may be called so."""
    nouns = own_nouns(farm)
    return "plants to sell" if nouns == "plants" else nouns


IN_BEDS = (
    Column(heading="in beds from", kind=Kind.DATE),
    Column(heading="plants in beds", kind=Kind.WHOLE),
)


def _in_beds(farm: Farm, lot: LotStory, beds: bool) -> tuple[Value, ...]:
    if not beds:
        return ()
    return (_day(farm, lot.beds.first), lot.beds.units) if lot.beds else (None, None)


def _places(lot: LotStory) -> str | None:
    stays = [stay for stay in (lot.rafts, lot.beds) if stay is not None]
    return "; ".join(place for stay in stays for place in stay.places) or None


def _remark(lot: LotStory) -> str:
    said = ["found growing"] if lot.origin == "growing" else []
    if lot.overdue:
        said.append("past its last good day")
    if lot.discarded:
        said.append(f"{lot.discarded:,} thrown away")
    return "; ".join(said)


def harvests_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return what is cut of each lot on each day."""
    return TableSheet(
        name="harvests",
        title="What to cut on each day",
        columns=(
            Column(heading="day", kind=Kind.DATE),
            Column(heading="lot"),
            Column(heading="crop"),
            Column(heading="cut", note="1 for the first cut of a plant; 2 and more where it grows again."),
            Column(heading="rows or beds" if plan.plantings else "rows", kind=Kind.LONG, widest=34),
            Column(heading="rafts", kind=Kind.WHOLE),
            Column(heading="plants", kind=Kind.WHOLE),
            Column(heading=_heads(farm), kind=Kind.WHOLE, note="Of these plants, what can be sold."),
            Column(
                heading="to deliveries", kind=Kind.WHOLE, note="What of it goes into deliveries and targets."
            ),
            *([Column(heading="at outlets", kind=Kind.WHOLE)] if farm.outlets else []),
            Column(heading="left over", kind=Kind.WHOLE),
        ),
        rows=[
            (
                farm.date_of(harvest.day),
                harvest.lot,
                harvest.crop,
                " and ".join(map(str, harvest.numbers)),
                "; ".join(harvest.lanes),
                harvest.rafts,
                harvest.plants,
                harvest.heads,
                harvest.delivered,
                *([harvest.sold] if farm.outlets else []),
                harvest.left,
            )
            for harvest in harvests(farm, plan)
        ],
        empty="Nothing is cut.",
    )


ASKED = (
    Column(heading="day", kind=Kind.DATE, note="Day of delivery; of a target, the first day of its week."),
    Column(heading="kind"),
    Column(heading="order", widest=20),
    Column(heading="customer", widest=24),
    Column(heading="product", widest=24),
)
"""What was asked for, as :func:`_asked` fills it."""


def deliveries_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return each reported delivery and week of a target, what it gets, from which lots, and why not all."""
    lots = _lots_of_demands(farm, plan)
    instead = _substitutes(farm, plan)
    unfilled = '{state}<>"filled"'
    return TableSheet(
        name="deliveries",
        title="Deliveries and targets",
        columns=_delivery_columns(farm, substituted=bool(instead)),
        rows=[
            (
                *_asked(farm, row),
                row.amount,
                row.filled,
                *([instead.get(row.demand, "")] if instead else []),
                row.missing,
                row.state,
                row.priority,
                row.price,
                "; ".join(lots.get(row.demand, ())),
                row.reason,
            )
            for row in plan.demands
            if row.reported
        ],
        empty="No delivery was asked for.",
        marks=(
            Mark(columns=("missing (units)", "state"), formula='{state}="short"', fill=SHORT),
            Mark(columns=("missing (units)", "state"), formula=unfilled, look=CLOSED),
        ),
    )


def _delivery_columns(farm: Farm, *, substituted: bool) -> tuple[Column, ...]:
    return (
        *ASKED,
        Column(heading="ordered (units)", kind=Kind.WHOLE),
        Column(heading="filled (units)", kind=Kind.WHOLE),
        *(
            [Column(heading="substitutes", widest=24, note="Of the units filled, those of a substitute.")]
            if substituted
            else []
        ),
        Column(heading="missing (units)", kind=Kind.WHOLE),
        Column(heading="state", note=STATES),
        Column(heading="priority", kind=Kind.WHOLE, note="1 is served first."),
        Column(heading=in_money(farm, "price"), kind=Kind.MONEY, note="Of one unit."),
        Column(heading="lots", kind=Kind.LONG, widest=38, note="Heads of each lot, and their cut."),
        Column(heading="reason", kind=Kind.LONG, widest=40, note="What stood in the way."),
    )


STATES = (
    "filled; short; too early: no sowing from the first day could be ready, and nothing that grew then "
    "goes unused; out of reach: no open harvest day lies near enough before it."
)


def shortfalls_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return what is not filled: what is short first, then what no sowing could reach."""
    return TableSheet(
        name="shortfalls",
        title="What is not filled, and why",
        columns=(
            *ASKED,
            Column(heading="state", note=STATES),
            Column(heading="missing (units)", kind=Kind.WHOLE),
            Column(heading="of (units)", kind=Kind.WHOLE),
            Column(heading=in_money(farm, "missing"), kind=Kind.MONEY, note="Price of what is missing."),
            Column(
                heading="first possible",
                kind=Kind.DATE,
                note="First day the product can be delivered from a new sowing.",
            ),
            Column(heading="reason", kind=Kind.LONG, widest=56),
        ),
        rows=[
            (
                *_asked(farm, each.row),
                each.row.state,
                each.missing,
                each.row.amount,
                each.value,
                _day(farm, each.row.earliest),
                each.row.reason,
            )
            for each in shortfalls(plan)
        ],
        empty="Nothing is short.",
        marks=(Mark(columns=("state", "missing (units)"), formula='{state}="short"', fill=SHORT),),
    )


def outlets_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return what each outlet sells on each of its reported days."""
    crops = {lot.lot: lot.crop for lot in plan.lots}
    lots: dict[tuple[str, str, int], list[str]] = defaultdict(list)
    for sale in plan.sales:
        said = _taken(farm, crops[sale.lot], sale)
        lots[sale.outlet, sale.product, sale.day].append(said)
    return TableSheet(
        name="outlets",
        title="What outlets sell of what is left",
        columns=(
            Column(heading="day", kind=Kind.DATE),
            Column(heading="outlet", widest=24),
            Column(heading="product", widest=24),
            Column(heading="sold (units)", kind=Kind.WHOLE),
            Column(
                heading=in_money(farm, "takings"), kind=Kind.MONEY, note="At the prices of the week's steps."
            ),
            Column(heading="lots", kind=Kind.LONG, widest=38, note="Heads of each lot, and their cut."),
        ),
        rows=[
            (
                farm.date_of(row.day),
                row.outlet,
                row.product,
                row.units,
                row.takings,
                "; ".join(lots[row.outlet, row.product, row.day]),
            )
            for row in plan.outlets
            if row.reported
        ],
        empty="Nothing is sold at an outlet.",
    )


def _asked(farm: Farm, row: DemandRow) -> tuple[Value, ...]:
    """Return day, kind, order, customer and product."""
    return farm.date_of(row.day), row.kind, row.order, row.customer, row.product


def _substitutes(farm: Farm, plan: Plan) -> dict[str, str]:
    """Return delivery -> units of each substitute in it, in words; those without any are left out."""
    wanted = {demand.name: demand.product for demand in farm.demands}
    return {
        demand: "; ".join(f"{units} {name}" for name, units in given.items() if name != wanted[demand])
        for demand, given in units_given(farm, plan).items()
        if set(given) - {wanted[demand]}
    }


def _lots_of_demands(farm: Farm, plan: Plan) -> dict[str, Sequence[str]]:
    lots: dict[str, list[str]] = defaultdict(list)
    crops = {lot.lot: lot.crop for lot in plan.lots}
    for row in sorted(plan.fills, key=lambda row: (row.cut_day, row.lot)):
        lots[row.demand].append(_taken(farm, crops.get(row.lot, row.crop), row))
    return dict(lots)


def _taken(farm: Farm, crop: str, row: FillRow | SaleRow) -> str:
    """Say what of a lot is in a delivery: ``12 of BUT-260302, cut 3 Apr``; what are no heads has its word."""
    known = farm.crops.get(crop)
    amount = (
        f"{row.heads}" if known is None or head_word(known) == "head" else heads_in_words(known, row.heads)
    )
    done = "picked" if known is not None and known.picking else "cut"
    return f"{amount} of {row.lot}, {done} {day_in_text(farm, row.cut_day)}"


def _day(farm: Farm, day: int | None) -> Value:
    return None if day is None else farm.date_of(day)
