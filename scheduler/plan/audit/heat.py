"""Heat: no sowing is made that would stand in air too warm for it, where the book refuses that."""

from collections.abc import Iterator

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.growth.stages import PLACE_OF, may_stand
from scheduler.farm.units import CENT, MILLI
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger

TooWarm = tuple[int, str, int]
"""Day, shelf or trough, hundredths of a degree C."""


def heat(ledger: Ledger) -> Iterator[AuditFault]:
    """Report each new lot that would meet a day too warm for it, with the first such day."""
    if ledger.farm.rules.heat != "refuse":
        return
    told: dict[tuple[str, int], TooWarm | None] = {}
    for lot in ledger.lots.values():
        if lot.lot in ledger.entries or lot.sown is None:
            continue
        key = (lot.crop, lot.sown)
        if key not in told:
            told[key] = min(_too_warm(ledger, ledger.crop_of(lot.lot), lot.sown), default=None)
        found = told[key]
        if found is not None:
            day, home, air = found
            message = f"{lot.crop} would stand in {air / CENT:g} °C in {home} on {ledger.farm.date_of(day)}"
            yield ledger.fault("heat", lot.lot, lot.sown, message)


def _too_warm(ledger: Ledger, crop: Crop, sown: int) -> Iterator[TooWarm]:
    """Walk the days of a sowing stage by stage, along the soonest and the slowest way at once."""
    farm = ledger.farm
    soonest = slowest = sown
    for stage in crop.route:
        homes = _homes(ledger, crop, stage.kind)
        left = {home: _full_grown(ledger, home, slowest, stage.days) for home in homes}
        for home in homes:
            days = range(sown, sown + 1) if stage.kind is StageKind.TRAY else range(soonest, left[home])
            for day in days:
                air = farm.climate.air_on(home, day, farm.calendar.first_day)
                if air is not None and _is_too_warm(crop, stage.kind, air):
                    yield day, home, air
        soonest = min((_full_grown(ledger, home, soonest, stage.days) for home in homes), default=soonest)
        slowest = max(left.values(), default=slowest)


def _is_too_warm(crop: Crop, kind: StageKind, air: int) -> bool:
    if kind is StageKind.TRAY:
        return crop.seed_heat is not None and air >= crop.seed_heat
    return crop.heat_limit is not None and air > crop.heat_limit


def _homes(ledger: Ledger, crop: Crop, kind: StageKind) -> list[str]:
    """Return the shelves or troughs a stage of a crop may stand in."""
    places = ledger.farm.places_of(PLACE_OF[kind])
    return sorted({place.belongs_to for place in places if may_stand(crop, place)})


def _full_grown(ledger: Ledger, home: str, since: int, days: int) -> int:
    """Return the day by which as many card days have grown in a shelf or trough."""
    day = since
    while ledger.growth.at(home, since, day) < days * MILLI:
        day += 1
    return day
