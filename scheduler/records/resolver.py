"""What the names of an entry mean on a farm, and which units it is about."""

from collections.abc import Sequence

from scheduler.book.names import lot_meant, meant
from scheduler.farm.crops import Crop, Stage, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.records.drafts import Draft
from scheduler.records.entries import Entry, Spot
from scheduler.records.ground import Ground
from scheduler.records.placing import Want, room_of
from scheduler.records.yard import Lot, Refused, Unit, Yard


class Resolver:
    """Looks up what entries name: by a farm, and by what stands there when they happen."""

    def __init__(self, ground: Ground) -> None:
        """Take the places of a farm."""
        self.ground = ground
        self.farm: Farm = ground.farm
        self.demands = {each.name: each for each in reversed(self.farm.demands)}

    def lot(self, entry: Entry, yard: Yard) -> Lot:
        """Return the lot of an entry.

        Raises:
            Refused: no such lot was sown or found by then.
        """
        found = yard.lots.get(entry.lot)
        if found is None:
            known = lot_meant(entry.lot, yard.lots, most=6)
            raise Refused("lot", f"'{entry.lot}', which is not there on {entry.day}", known, "no-lot")
        return found

    def crop(self, name: str, field: str) -> Crop:
        """Return a crop of the farm.

        Raises:
            Refused: there is none of that name.
        """
        if name not in self.farm.crops:
            raise Refused(field, f"'{name}'", meant(name, self.farm.crops), "no-crop")
        return self.farm.crops[name]

    def stage(self, crop: Crop, item: str, field: str) -> Stage:
        """Return a stage of a crop.

        Raises:
            Refused: its route has none of that kind.
        """
        stage = crop.stage(StageKind(item))
        if stage is None:
            route = " > ".join(part.kind for part in crop.route)
            raise Refused(field, f"a {item} for {crop.name}", f"its route, {route}", "no-stage")
        return stage

    def sources(self, draft: Draft, yard: Yard, items: Sequence[str]) -> list[Unit]:
        """Return the units an entry is about; where the lot is not where a plan had it, those it is in."""
        entry = draft.entry
        spots = self.ground.expanded(entry.place)
        tries = [spots]
        if draft.hints is not None:
            # ranks in a row were the morning's; by now rafts may have closed up
            lanes = {place.name for place in self.farm.places_of(PlaceKind.LANE)}
            spots = tuple(Spot(spot.place) if spot.place in lanes else spot for spot in spots)
            tries = [spots, tuple(Spot(spot.place) for spot in spots), ()]
        for at, some in enumerate(tries):
            try:
                return yard.chosen(entry.lot, some, items)
            except Refused:
                if at == len(tries) - 1:
                    raise
        return []

    def lifted(self, entry: Entry) -> bool:
        """Say whether emptied rafts leave their row at once."""
        return entry.lifted or self.farm.rules.lift_out

    def want(self, draft: Draft, stage: Stage, plants: int) -> Want:
        """Return what is to be placed of an entry."""
        return Want(
            stage=stage,
            plants=plants,
            units=draft.units,
            day=draft.entry.day,
            room=room_of(self.farm, stage),
            hints=draft.hints,
        )


def spots_told(draft: Draft, yard: Yard, units: Sequence[Unit]) -> tuple[Spot, ...]:
    """Return where units stand; slots only where a person named them, for ranks in a row change."""
    slots = draft.hints is None and any(spot.slots for spot in draft.entry.place)
    if slots and any(unit.guessed for unit in units):
        return draft.entry.place  # only who told it knows the slots
    places = dict.fromkeys(unit.place for unit in units)
    return tuple(
        Spot(place, tuple(yard.slot_of(unit) for unit in units if unit.place == place) if slots else ())
        for place in places
    )


def spots_of(units: Sequence[Unit]) -> tuple[Spot, ...]:
    """Return where some units stand, each to be found again; a slot that nobody told as a guess."""
    slots = ((-unit.found if unit.guessed else unit.slot,) if unit.slot else () for unit in units)
    return tuple(dict.fromkeys(Spot(unit.place, slot) for unit, slot in zip(units, slots, strict=True)))
