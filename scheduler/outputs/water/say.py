"""Balances of feed in words."""

from collections.abc import Iterator, Sequence

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.words import counted, date_in_text, plain
from scheduler.plan.rows_water import WaterRow
from scheduler.plan.water import BALANCED, NO_FISH, NO_PLANTS, OVER, SHORT, tanks_told

MG_PER_GRAM = 1_000


def area(hundredths: int) -> str:
    """Return square metres with one decimal."""
    return f"{hundredths / CENT:,.1f} m²"


def grams(number: int) -> str:
    """Return grams a day."""
    return f"{number:,} g a day"


def what_is_off(row: WaterRow) -> str:
    """Say what is lacking or too much, in feed and in square metres; nothing when balanced."""
    if row.state in (SHORT, NO_FISH):
        return f"{grams(row.off)} lacking, or {area(row.area_off)} planted too many"
    if row.state == OVER:
        return f"{grams(row.off)} too much, or {area(row.area_off)} more could be planted"
    if row.state == NO_PLANTS and row.area_off:
        return f"enough for {area(row.area_off)} of leafy plants"
    return ""


def summed(farm: Farm, rows: Sequence[WaterRow]) -> Iterator[str]:
    """Yield one sentence for each loop: how many weeks are balanced, short and over, and the worst."""
    for loop in dict.fromkeys(row.loop for row in rows):
        own = [row for row in rows if row.loop == loop]
        states = {state: [row for row in own if row.state == state] for state in ORDER}
        said = [f"{state} in {counted(len(weeks), 'week')}" for state, weeks in states.items() if weeks]
        sentence = f"{plain(loop)}: {', '.join(said)}."
        short = states[SHORT] + states[NO_FISH]
        if short:
            worst = max(short, key=lambda row: row.off)
            sentence += f" Most is lacking from {date_in_text(farm, worst.day)}: {what_is_off(worst)}."
        yield sentence


ORDER = (BALANCED, SHORT, OVER, NO_PLANTS, NO_FISH)


def tanks_in_words(farm: Farm) -> Iterator[str]:
    """Yield one sentence for each tank: what it eats on its first and on its hungriest day."""
    for name, species, days in tanks_told(farm):
        shown = days[farm.today :]
        fed = [number for number, day in enumerate(shown, start=farm.today) if day.feed]
        if not fed:
            yield f"{plain(name)} ({plain(species)}): no fish, or none that eat, in these weeks."
            continue
        first, most = fed[0], max(fed, key=lambda number: days[number].feed)
        fish = ""
        if days[first].fish:
            each = days[first].mass / days[first].fish / MG_PER_GRAM
            fish = f"{days[first].fish:,} fish of {each:,.0f} g, "
        when, peak = (date_in_text(farm, number) for number in (first, most))
        eaten, most_eaten = (_fed(days[number].feed) for number in (first, most))
        yield f"{plain(name)} ({plain(species)}): {fish}{eaten} on {when}; most on {peak}, {most_eaten}."


def _fed(milligrams: int) -> str:
    return grams(round(milligrams / MG_PER_GRAM))
