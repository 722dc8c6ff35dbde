"""Names, places, days and amounts as a work sheet says them; a grower's text can never become markup.

Own words are written as they are; what comes from the book is escaped, freed of signs that steer, and set
apart so that text from right to left does not turn the line.
"""

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import CENT
from scheduler.outputs.words import counted, day_in_text, plain
from scheduler.plan.views.ledger import Spot

MINUTES = 60
LONG_CODE = 15
"""Letters of the longest code that is kept on one line."""

RUN = 2
"""Slots in a row from which on they are written as first to last."""


def own(text: str) -> Markup:
    """Return a grower's text."""
    return Markup("<bdi>{}</bdi>").format(plain(text))


def code(text: str) -> Markup:
    """Return the code of a lot or order; a short one stays on one line."""
    return Markup("<code>{}</code>").format(plain(text)) if len(text) <= LONG_CODE else own(text)


def strong(text: str) -> Markup:
    """Return a grower's text, or a number, that should be seen first."""
    return Markup("<b>{}</b>").format(own(text))


def joined(parts: Iterable[Markup | str], between: str = ", ") -> Markup:
    """Return parts with something between them."""
    return Markup(between).join(parts)


def one_day(farm: Farm, day: int) -> Markup:
    """Return a day as :func:`words.day_in_text` does, on one line."""
    return unbroken(day_in_text(farm, day))


def numbers(values: Iterable[int]) -> str:
    """Return whole numbers as ``1, 3 to 5``."""
    runs: list[list[int]] = []
    for value in sorted(set(values)):
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    said = []
    for run in runs:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > RUN else [str(value) for value in run]
    return ", ".join(said)


def slots(values: Sequence[int]) -> str:
    """Return slots as ``slot 3`` or ``slots 1, 3 to 5``."""
    return f"slot{'s' if len(set(values)) > 1 else ''} {numbers(values)}"


def area(spot: Spot) -> Markup:
    """Return a place without its slots: ``North trough, row 2``, ``Shelf A, tier 1``, or a zone's name."""
    match spot.kind:
        case PlaceKind.LANE:
            return Markup("{}, row&nbsp;{}").format(own(spot.owner), spot.number)
        case PlaceKind.TIER:
            return Markup("{}, tier&nbsp;{}").format(own(spot.owner), spot.number)
        case _:
            return own(spot.place)


def where(spot: Spot) -> Markup:
    """Return a place and its slots, if they are known; in a row, which end they are counted from."""
    if not spot.slots:
        return area(spot)
    said = Markup("{}, {}").format(area(spot), unbroken(slots(spot.slots)))
    if spot.kind is PlaceKind.LANE and 1 in spot.slots:
        return said + Markup(" (harvest end)")
    return said


def unbroken(text: str) -> Markup:
    """Return own words that stay on one line."""
    return Markup(text.replace(" ", "&nbsp;"))


def several(number: int, noun: str, kind: str = "") -> Markup:
    """Return ``3 rafts``, with the kind of them behind it where it says more than the noun."""
    said = Markup("<b>{}</b>").format(unbroken(counted(number, noun)))
    return said + Markup(" ({})").format(own(kind)) if kind else said


def time(minutes: int) -> str:
    """Return hundredths of a minute as ``1 h 16 min``, rounded to whole minutes, never to nothing."""
    whole = max(round(minutes / CENT), 1) if minutes else 0
    hours, rest = divmod(whole, MINUTES)
    if not hours:
        return f"{rest} min"
    return f"{hours:,} h {rest} min" if rest else f"{hours:,} h"


def in_positions(spot: Spot) -> Iterable[Markup]:
    """Yield a bed and its positions."""
    yield area(spot)
    if spot.slots:
        noun = "position" if len(spot.slots) == 1 else "positions"
        yield Markup("{} {}").format(noun, numbers(spot.slots))
