"""The way of some plants through a farm: trays of a lot, boards they go to, units they are cut from."""

from dataclasses import dataclass

from scheduler.stress.journey import Batch, Journey, Patch
from scheduler.stress.serve import Order


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """Where extra seed of a lot would go: its batches from the trays on, and the patch it is cut from.

    Attributes:
        lot, crop: lot code and crop name.
        batches: one for each stage before the last, trays first; none where trays are the last stage.
        patch: what of the lot stands where it is cut.
    """

    lot: str
    crop: str
    batches: tuple[Batch, ...]
    patch: Patch

    @property
    def sown(self) -> int:
        """Day its seed is sown."""
        return self.batches[0].enters if self.batches else self.patch.batch.enters

    @property
    def key(self) -> tuple[object, ...]:
        """Say what makes two paths the same: where seed is sown, and the days it moves on."""
        days = tuple((batch.enters, batch.leaves) for batch in self.batches)
        return self.lot, days, self.patch.batch.enters, self.patch.place


def paths_to(journey: Journey, order: Order, today: int) -> list[Path]:
    """Return the ways by which extra seed could reach a demand: its own lots first, then what is cut soonest.

    Only lots that are sown from today on: what grows already cannot be sown again. Parts in one place count
    once.
    """
    pickings = [picking for _, picking, _ in order.own]
    pickings += [picking for _, others in order.others for picking in others]
    found: dict[tuple[object, ...], Path] = {}
    for picking in pickings:
        path = _path(journey, journey.patches[journey.pickings[picking].patch])
        if path is not None and path.sown >= today:
            found.setdefault(path.key, path)
    return list(found.values())


def _path(journey: Journey, patch: Patch) -> Path | None:
    """Return the way to a patch; None where a stage of it is not in the plan, as with what grows already."""
    batches: list[Batch] = []
    here = patch.batch
    while here.stage:
        before = [
            batch
            for batch in journey.batches
            if batch.lot == here.lot and batch.stage == here.stage - 1 and batch.leaves == here.enters
        ]
        if here.found or not before:
            return None
        here = before[0]
        batches.append(here)
    if here.found:
        return None
    return Path(lot=here.lot, crop=here.crop, batches=tuple(reversed(batches)), patch=patch)
