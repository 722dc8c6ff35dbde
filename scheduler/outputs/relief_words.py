"""Reliefs and causes in growers' words."""

from scheduler.book.words import listed
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, HOUR, ceil_div
from scheduler.outputs.words import counted, day_in_text, hours_in_text, money, plain
from scheduler.plan.layout.reasons import NO_BATCH
from scheduler.plan.relief import Cause, Explained, Grant, Limit, Relief
from scheduler.plan.words import cell_word, word_of_heads

REST_IS_FOR = "The rest is there for cleaning: judge yourself whether that leaves time enough."
"""What stands beside every shorter rest."""

LESS = 3

PLACES = {
    Limit.SHELF: ("tray place", "on {}"),
    Limit.ZONE: ("board place", "in {}"),
    Limit.ROW: ("raft place", "in row {}"),
    Limit.BED: ("position", "in {}"),
    Limit.COOLER: ("crate place", "in {}"),
}
"""Limit -> what one slot is called, and where it is."""

UNITS = (Limit.TRAYS, Limit.BOARDS, Limit.RAFTS, Limit.DOMES)

NAMES = {
    Limit.SHELF: "shelf places",
    Limit.ZONE: "board places",
    Limit.ROW: "raft places",
    Limit.BED: "positions in beds",
    Limit.COOLER: "crate places in coolers",
    Limit.ORDER: "the order of the rows",
    Limit.REST: "the rest of the rows",
    Limit.HOURS: "the crew's hours",
    Limit.TRAYS: "trays",
    Limit.BOARDS: "boards",
    Limit.RAFTS: "rafts",
    Limit.DOMES: "domes",
    Limit.SOWING: "the sowing days",
}


def hours(hundredths: int) -> str:
    """Return a span of work, such as ``45 minutes`` or ``2.5 hours``."""
    minutes = ceil_div(hundredths, CENT)
    return (
        counted(minutes, "minute") if minutes * CENT < 2 * HOUR else f"{hours_in_text(minutes * CENT)} hours"
    )


def between(farm: Farm, first: int | None, last: int | None) -> str:
    """Return ``on Mon 9 Mar``, ``from Mon 9 Mar to Thu 2 Apr`` or ``from Mon 9 Mar on``."""
    if first is None:
        return ""
    if last is None:
        return f"from {day_in_text(farm, first)} on"
    if first == last:
        return f"on {day_in_text(farm, first)}"
    return f"from {day_in_text(farm, first)} to {day_in_text(farm, last)}"


def grant_in_words(farm: Farm, grant: Grant) -> str:
    """Return what is given, such as ``1 more board place in North trough from 3 May to 24 May``."""
    what, days = plain(grant.what), between(farm, grant.first, grant.last)
    if grant.limit in PLACES:
        noun, where = PLACES[grant.limit]
        return f"{counted(grant.amount, f'more {noun}')} {where.format(what)} {days}".rstrip()
    if grant.limit in UNITS:
        needed = f", needed {days}" if days else ""
        return f"{counted(grant.amount, f'more {what}')}{needed}"
    if grant.limit is Limit.HOURS:
        if grant.first == grant.last:
            return f"{hours(grant.amount)} more work {days}".rstrip()
        return f"{hours(grant.amount)} more work in all {days}, at most {hours(grant.most)} on a day"
    return _allowed(farm, grant, what, days)


def _allowed(farm: Farm, grant: Grant, what: str, days: str) -> str:
    """Return what is done otherwise."""
    when = "later" if grant.amount > 0 else "earlier"
    sown = f"{counted(grant.amount, cell_word(farm, grant.what))} of {what} sown {days}"
    heads = counted(grant.amount, word_of_heads(farm, grant.what))
    said = {
        Limit.ORDER: f"{counted(grant.amount, 'raft')} lifted out past others {days}",
        Limit.REST: f"a rest of {counted(grant.amount, 'day')} less in row {what} {days}",
        Limit.SOWING: f"{sown}, outside its sowing days",
        Limit.EARLIER: f"{sown}, before the plan begins",
        Limit.SUBSTITUTE: f"{what} as another crop of the product ({heads})",
        Limit.HARVEST: f"cutting {days} too",
        Limit.DAY: f"the delivery {days} instead, {counted(abs(grant.amount), 'day')} {when}",
    }
    return said[grant.limit]


def relief_in_words(farm: Farm, relief: Relief, first: str) -> str:
    """Return one sentence on what a relief takes and costs; ``first`` begins it, ``Filled`` or ``Or``."""
    cost = _cost_in_words(farm, relief)
    costs = f"; {cost}" if cost else ""
    if relief.grants:
        judged = f" {REST_IS_FOR}" if any(each.limit is Limit.REST for each in relief.grants) else ""
        granted = " and ".join(grant_in_words(farm, each) for each in relief.grants)
        return f"{first} with {granted}{costs}.{judged}"
    if not relief.less:
        return f"Nothing has to be added: a longer search fills it{costs}."
    less = ", ".join(f"{each.units:,} of {plain(each.row.demand)}" for each in relief.less[:LESS])
    more = f" and {len(relief.less) - LESS} more" if len(relief.less) > LESS else ""
    return f"A longer search fills it and leaves flexible ones short: {less}{more}{costs}."


def _cost_in_words(farm: Farm, relief: Relief) -> str:
    """Return what the whole plan costs more; nothing where the book has no prices."""
    if relief.cost is None:
        return ""
    if relief.cost <= 0:
        return "the whole plan costs no more"
    return f"the whole plan costs {money(farm, relief.cost)} more"


def cause_in_words(farm: Farm, each: Explained) -> str:
    """Return what stood in the way, without a full stop."""
    cause = each.cause
    if cause.limits[0] in (Limit.EARLIER, Limit.HARVEST):
        return f"{plain(each.row.reason)}, so it counts as {each.row.state}"
    if cause.limits[0] is Limit.TIMING:
        return NO_BATCH
    if cause.limits[0] is Limit.UNKNOWN:
        # where nothing is named the line below says it
        tried = "; time ran out before everything was tried" if each.reliefs and not each.ended else ""
        return f"{plain(each.row.reason)}{tried}"
    if cause.together:
        named = [NAMES[limit] for limit in cause.limits]
        several = f"several things at once, {listed(named)}"
        return f"{several}; {_one_cause(farm, cause)}" if cause.first is not None else several
    return _one_cause(farm, cause)


def _one_cause(farm: Farm, cause: Cause) -> str:
    limit, what = cause.limits[0], plain(cause.what)
    days = _days(farm, cause)
    if limit is Limit.SEARCH:
        return "nothing; the search had too little time"
    if limit in PLACES:
        noun, where = PLACES[limit]
        place = where.format(what)
        return f"every {noun} {place} is taken{days}" if days else f"there are too few {noun}s {place}"
    if limit in UNITS:
        return f"every {what} is in use or being washed{days}" if days else f"there are too few {what}s"
    if limit is Limit.HOURS:
        return f"the crew's hours are used up{days}" if days else "the crew has too few hours"
    if limit is Limit.REST:
        return f"row {what} rests {counted(farm.place(cause.what).rest, 'day')} between two crops"
    if limit is Limit.ORDER:
        return "the order of the rows: rafts that are cut wait behind others that are not"
    return f"no sowing window: {what} may not be sown on the days that would serve it"


def _days(farm: Farm, cause: Cause) -> str:
    if cause.first is None or cause.last is None:
        return ""
    whole = cause.days == cause.last - cause.first + 1
    some = "" if whole else f" on {cause.days} days"
    return f"{some} {between(farm, cause.first, cause.last)}"
