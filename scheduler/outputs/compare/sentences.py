"""What a comparison says in sentences: how new places fill, when they pay, and what holds them back."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from scheduler.book.words import listed
from scheduler.farm.dates import dated
from scheduler.farm.farm import Farm
from scheduler.outputs.compare.lines import percent
from scheduler.outputs.words import counted, money, plain
from scheduler.plan.carried import weighted_shortage
from scheduler.plan.views.compared import Case, CaseTotals, Comparison
from scheduler.plan.views.opened import Opened
from scheduler.plan.views.paid_back import PaidBack
from scheduler.plan.views.remarks import Empty, Remark, remarks, since_it_opened

SHORTAGES, PROVEN = (1, 2), "proven"
"""Levels of the goals that count what is short, and the status of one that no plan can better."""


def sentences(comparison: Comparison) -> list[list[str]]:
    """Return the sentences on each case but the first."""
    told: dict[int, list[str]] = {number: [] for number in range(1, len(comparison.cases))}
    for number, lines in told.items():
        case, totals = comparison.cases[number], comparison.totals[number]
        if case.found_on != case.name:
            kept = f"the plan of '{plain(case.found_on)}', which is kept"
            lines.append(f"Its own search found nothing better than {kept}.")
            if _is_doubtful(case, totals):
                lines.append("What it would bring stays open, then: a longer search (--seconds) may find it.")
        if not case.changed:
            lines.append(f"The book without what '{plain(comparison.cases[0].name)}' changes.")
        lines += _luck(comparison, case)
        lines += [_ramp(case.farm, place) for place in totals.opened]
        if totals.paid_back is not None:
            lines += _paid_back(comparison, case, totals.paid_back)
    for (at, _), alike in groupby(remarks(comparison), key=_told_together):
        told[at].append(_remark(comparison, list(alike)))
    return list(told.values())


def _told_together(remark: Remark) -> tuple[int, object]:
    """Return what places have in common that are told in one sentence: the case, and what holds them back."""
    what = (remark.missing, [line.name for line in remark.tight]) if isinstance(remark, Empty) else None
    return remark.case, what


def held_against(comparison: Comparison) -> str:
    """Return in words what the farms are held against; nothing for the book as it is."""
    first = comparison.cases[0]
    return f"held against '{plain(first.name)}'" if first.changed else ""


def _first(comparison: Comparison) -> str:
    """Return in words the farm that the others are held against."""
    first = comparison.cases[0]
    return f"'{plain(first.name)}'" if first.changed else "the book as it is"


def doubt(comparison: Comparison) -> str:
    """Return what is to be known where it is not proven that units must be short; else nothing."""
    pairs = list(zip(comparison.cases, comparison.totals, strict=True))
    doubtful = [_is_doubtful(case, totals) for case, totals in pairs]
    if not any(doubtful):
        return ""
    if len(pairs) > 1 and all(doubtful) and (alike := _told_apart_by_nothing(pairs)):
        return (
            f"The seconds were too few to tell these farms apart: {alike}, and it is not proven that so much "
            "must be short. Give each farm more (--seconds)."
        )
    return (
        "It is not proven that so much must be short: a longer search (--seconds) may fill more, "
        "and of one farm more than of another."
    )


def _is_doubtful(case: Case, totals: CaseTotals) -> bool:
    """Say whether units are short that a longer search may fill, for all that is known.

    A plan that was taken over, or gone on from, has no goals of its own and so no proof.
    """
    goals = [goal for goal in case.plan.goals if goal.level in SHORTAGES]
    if not goals:
        return totals.missing > 0
    return any(goal.value > 0 and goal.status != PROVEN for goal in goals)


def _told_apart_by_nothing(pairs: Sequence[tuple[Case, CaseTotals]]) -> str:
    """Return in words what is alike in all farms where no search found anything of its own; else nothing."""
    kept = {case.found_on for case, _ in pairs}
    if len(kept) == 1:
        return f"all of them keep the plan found for '{plain(kept.pop())}'"
    if len({(totals.filled, totals.missing, totals.heads, totals.paid) for _, totals in pairs}) == 1:
        return "all of their plans come to the same"
    return ""


def _luck(comparison: Comparison, case: Case) -> Iterator[str]:
    """Say where firm deliveries that are short tell farms apart by no more than is left unproven."""
    first = comparison.cases[0]
    pair = (first, case)
    there, here = (weighted_shortage(each.farm, each.plan, reported=True)[0] for each in pair)
    if there == here:
        return
    least = min(weighted_shortage(each.farm, each.plan)[0] for each in pair)
    worse, word, where = (first, "Less", "there") if here < there else (case, "More", "here")
    if worse.least is None or worse.least <= least:
        yield (
            f"{word} of the firm deliveries is short than in {_first(comparison)}, by price and priority, "
            f"but that may be the luck of the search: nothing proves that so much must be short {where}."
        )


def _ramp(farm: Farm, place: Opened) -> str:
    name, slots = plain(place.name), counted(place.slots, f"{place.unit} slot")
    if place.opens is None or place.first_in is None:
        return f"{name}: {slots} more from {_day(farm, place.opens)}; nothing ever stands there."
    parts = [
        f"{slots} more from {_day(farm, place.opens)}",
        f"the first {place.unit} on {_day(farm, place.first_in)}",
    ]
    if place.first_cut is not None:
        parts.append(f"the first cut on {_day(farm, place.first_cut)}")
    parts.append(
        "never nine tenths full"
        if place.filled is None
        else f"nine tenths full on {_day(farm, place.filled)}"
    )
    return f"{name}: {', '.join(parts)}; {percent(since_it_opened(place))} in use on average."


def _paid_back(comparison: Comparison, case: Case, paid: PaidBack) -> Iterator[str]:
    farm, spans = comparison.farm, comparison.spans
    end = _day(farm, spans[-1][1])
    earned = money(farm, paid.in_all)
    if paid.in_all < 0:
        yield f"By {end} it has cost {money(farm, -paid.in_all)} more than it brought, its price not counted."
    elif paid.earns_from is None:
        yield f"By {end} it has brought nothing more than {_first(comparison)}."
    else:
        week = _day(farm, spans[paid.earns_from][0])
        yield f"From the week of {week} on it earns more than {_first(comparison)}: {earned} by {end}."
    if paid.luck:
        more = money(farm, paid.luck)
        yield f"{more} more before its first day are left out: one search had more luck than the other."
    if not paid.cost:
        yield "No price is given for the change, so that there is nothing to pay back."
    elif paid.week is None:
        yield f"Its price of {money(farm, paid.cost)} is not paid back by then."
    else:
        when = _day(farm, spans[paid.week][1])
        weeks = counted(paid.weeks or 0, "week")
        yield f"Its price of {money(farm, paid.cost)} is paid back by {when}, after {weeks}."
    weekly = case.cost_per_week - comparison.cases[0].cost_per_week
    if weekly:
        yield f"Running costs of {money(farm, weekly)} a week are taken off."


def _remark(comparison: Comparison, alike: Sequence[Remark]) -> str:
    """Say what new places that stand empty have in common."""
    empty = [remark for remark in alike if isinstance(remark, Empty)]
    if not empty:
        return "Nothing is short without it: with these orders more room brings nothing."
    first, places = empty[0], [f"{plain(each.place)} is {percent(each.share)} in use" for each in empty]
    said = f"{listed(places)} while {first.missing:,} units are short"
    full = []
    for line in first.tight:
        use = line.uses[first.case]
        if use is not None:
            full.append(f"{plain(line.name)} (full in {use.full_weeks} of {counted(use.weeks, 'week')})")
    if not full:
        return f"{said}, and no other place is full: the search may need more time."
    case = comparison.cases[first.case]
    unsure = _is_doubtful(case, comparison.totals[first.case])
    more = ", or the search, which was not at its end" if unsure else ""
    return f"{said}: what holds it back is {listed(full)}{more}."


def _day(farm: Farm, day: int | None) -> str:
    if day is None:
        return "a day after the plan"
    return dated(farm.date_of(day))
