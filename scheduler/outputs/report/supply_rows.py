"""Rows of a work sheet around the growing: washing, deliveries, orders, chores."""

from markupsafe import Markup

from scheduler.book.words import plural
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.report.row import Row, row
from scheduler.outputs.report.say import area, code, one_day, own, several, strong, time, unbroken
from scheduler.outputs.words import counted
from scheduler.plan.views.lines import Chore, Delivery, Ordering, Washing
from scheduler.plan.words import heads_in_words


def washing(line: Washing, farm: Farm) -> Row:
    """Return the row of trays, boards or rafts to wash."""
    return row(
        (line.kind, ""),
        f"{line.item}s",
        (several(line.units, line.item),),
        source=[area(spot) for spot in line.sources],
        note=[Markup("free again on {}").format(one_day(farm, line.free))],
    )


def delivery(line: Delivery, farm: Farm) -> Row:
    """Return the row of one delivery, with the lots that are in it."""
    short = line.amount - line.filled
    return row(
        (line.product, line.order),
        packs(2, line.pack),
        [Markup("<b>{}</b>").format(each) for each in parts_given(line)],
        source=[
            Markup("{} {}, {} {}").format(
                unbroken(heads_in_words(farm.crops[each.crop], each.heads)),
                code(each.lot),
                "picked" if farm.crops[each.crop].picking else "cut",
                one_day(farm, each.cut_day),
            )
            for each in line.taken
        ],
        target=[strong(line.customer)],
        note=[Markup("<b>{:,} short</b> of {:,}").format(short, line.amount)] if short > 0 else [],
    )


def parts_given(line: Delivery) -> list[Markup]:
    """Return what a delivery holds: units of the product ordered, then of each substitute by its name."""
    found = []
    if line.as_ordered or not line.instead:
        found.append(unbroken(f"{line.as_ordered:,} {packs(line.as_ordered, line.pack)}"))
    found += [
        Markup("{} {} instead").format(unbroken(f"{units:,} {packs(units, pack)}"), own(name))
        for name, pack, units in line.instead
    ]
    return found


def packs(number: int, pack: str) -> str:
    """Return the name of a unit of sale, for one or several of it."""
    return pack if number == 1 else plural(pack)


def ordering(line: Ordering, farm: Farm) -> Row:
    """Return the row of an order to place."""
    noun = {"seed": "seed", "plugs": "plug"}.get(line.kind, "piece")
    needed, last = one_day(farm, line.needed_from), one_day(farm, line.covers_until)
    notes = [Markup("<b>late: stock may run out before it comes</b>")] if line.late else []
    notes.append(Markup("needed from {}, lasts through {}").format(needed, last))
    if line.cost:
        notes.append(Markup("{:,.2f} {}").format(line.cost / CENT, own(farm.currency)))
    return row(
        (line.item, ""),
        "packs",
        (several(line.packs, "pack"), Markup("{} in all").format(unbroken(counted(line.amount, noun)))),
        source=["supplier"],
        target=[Markup("for {}").format(own(line.used_for))],
        note=notes,
    )


def chore(line: Chore, farm: Farm) -> Row:
    """Return the row of a chore of the house."""
    notes = [own(text) for text in (line.note,) if text]
    if line.due != line.day:
        notes.append(Markup("moved from {}").format(one_day(farm, line.due)))
    return row(
        (line.name, ""),
        "",
        (Markup(unbroken(time(line.minutes))),) if line.minutes else (),
        source=[own(line.place)] if line.place else [],
        target=[own(line.who)] if line.who else [],
        note=notes,
    )
