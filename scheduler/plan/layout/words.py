"""Places and days in words, as they stand on a work list."""

from collections import defaultdict
from collections.abc import Iterable

from scheduler.plan.layout.units import Stand


def standing_in_words(stands: Iterable[Stand]) -> str:
    """Name places and slots: ``Shelf A 1 slots 1-4, 6; Shelf A 2 slot 3``."""
    slots: dict[str, set[int]] = defaultdict(set)
    for stand in stands:
        slots[stand.place].add(stand.slot)
    return "; ".join(f"{place} {slots_in_words(numbers)}" for place, numbers in slots.items())


def slots_in_words(slots: Iterable[int]) -> str:
    """Name slots: ``slot 3``, ``slots 1-4, 6``."""
    runs: list[list[int]] = []
    for slot in sorted(set(slots)):
        if runs and slot == runs[-1][-1] + 1:
            runs[-1].append(slot)
        else:
            runs.append([slot])
    said = ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)
    return f"slots {said}" if len(runs) > 1 or any(len(run) > 1 for run in runs) else f"slot {said}"
