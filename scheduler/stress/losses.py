"""From cells sown to heads that may be cut: plants are lost one by one in every stage."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from scheduler.stress.draws import Counts, Draws, Name
from scheduler.stress.journey import Batch, Journey, Move, Patch, Picking


def needs(journey: Journey) -> Iterator[tuple[Name, int]]:
    """Yield the name of each loss, and to how many plants it may come."""
    for batch in journey.batches:
        yield batch_name(batch), batch.plants + batch.room
    for patch in journey.patches:
        yield patch_name(patch), patch.batch.plants + patch.batch.room
    for picking in journey.pickings:
        patch = journey.patches[picking.patch]
        yield picking_name(patch, picking), patch.batch.plants + patch.batch.room


def batch_name(batch: Batch) -> Name:
    """Return the name of what a batch loses."""
    return "moved", batch.lot, str(batch.stage), str(batch.enters), str(batch.leaves)


def patch_name(patch: Patch) -> Name:
    """Return the name of what a patch loses before it is cut."""
    return "stood", patch.unit, patch.batch.lot


def picking_name(patch: Patch, picking: Picking) -> Name:
    """Return the name of what cannot be sold of a cut."""
    # what is cut once may be cut on another day: the day is no part of its name
    day = "" if picking.after is None and picking.before == 0 and picking.number == 1 else str(picking.day)
    return "sold", patch.unit, patch.batch.lot, str(picking.number), day


def planned_heads(journey: Journey, runs: int) -> NDArray[np.int32]:
    """Return runs x pickings: the heads the plan counts on, the same in every run."""
    heads = np.array([picking.heads for picking in journey.pickings], np.int32)
    return np.tile(heads, (runs, 1))


class Losses:
    """What is left of every batch, patch and picking in some runs."""

    def __init__(self, journey: Journey, draws: Draws, runs: int) -> None:
        """Follow the plants from stage to stage."""
        self.journey, self.draws, self.runs = journey, draws, runs
        self._batches = [self._found_or_sown(batch) for batch in journey.batches]
        self._patches = [self._found_or_sown(patch.batch) for patch in journey.patches]
        for move in journey.moves:
            self._move(move)

    def heads(self) -> NDArray[np.int32]:
        """Return runs x pickings: heads that each cut may give."""
        found = np.zeros((self.runs, len(self.journey.pickings)), np.int32)
        there = [
            self.draws.left(patch_name(patch), plants, patch.batch.share)
            for patch, plants in zip(self.journey.patches, self._patches, strict=True)
        ]
        for at, picking in enumerate(self.journey.pickings):
            patch, crop = self.journey.patches[picking.patch], self.journey.crop_of(at)
            if crop.grams:
                # an open tray is many plants that are never counted: it gives its mass
                found[:, at] = picking.heads
                continue
            standing = there[picking.patch]
            if crop.cuts > 1:
                more = 0 if picking.before else patch.batch.room
                standing = np.clip(standing - picking.before, 0, picking.plants + more).astype(np.int32)
            found[:, at] = self.draws.left(picking_name(patch, picking), standing, crop.saleable)
        return found

    def _found_or_sown(self, batch: Batch) -> Counts:
        """Return what stands there before anything is moved."""
        return self._full(batch.plants if batch.found or not batch.stage else 0)

    def _full(self, plants: int) -> Counts:
        return np.full(self.runs, plants, np.int32)

    def _move(self, move: Move) -> None:
        """Set what left one stage into the next: what the plan has for each, then holes that are left."""
        left = self._full(0)
        for at in move.givers:
            batch = self.journey.batches[at]
            left = left + self.draws.left(batch_name(batch), self._batches[at], batch.share)
        if move.into_patches:
            set_out, batches = self._patches, [self.journey.patches[at].batch for at in move.takers]
        else:
            set_out, batches = self._batches, [self.journey.batches[at] for at in move.takers]
        for at, batch in zip(move.takers, batches, strict=True):
            set_out[at] = np.minimum(left, batch.plants)
            left = left - set_out[at]
        for at, batch in zip(move.takers, batches, strict=True):
            if move.spare and batch.room:
                more = np.minimum(left, batch.room)
                set_out[at] = set_out[at] + more
                left = left - more
