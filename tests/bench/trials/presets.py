"""Sets of runs with a name: a quick one, a full one, and how time and memory grow with a farm."""

from collections.abc import Iterator
from dataclasses import dataclass

from .contenders import LIFTED
from .families import FAMILIES, LOADS, SHAPES, Case, resized

EVERY = ("hand", "hand-repaired", "cp-sat", "highs", "scip", "raftway", LIFTED)
OWN = ("hand", "hand-repaired", "raftway", LIFTED)

SECONDS = {"micro": 60, "small": 60, "boxes": 60, "medium6": 120, "medium12": 120, "large": 300, "huge": 600}
"""Time of one run in the full set."""

BEYOND = ("large", "huge")
"""Families whose whole model is too large for one solve to say anything in that time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Runs:
    """One farm, who plans it, and for how long each."""

    case: Case
    contenders: tuple[str, ...]
    seconds: float


def quick() -> Iterator[Runs]:
    """Yield what takes less than ten minutes on two idle cores."""
    yield _runs("micro", EVERY, 12)
    yield _runs("small", EVERY, 15, orders="jumpy")
    yield _runs("medium12", ("hand", "hand-repaired", "cp-sat", "raftway"), 40, orders="seasonal")
    yield _runs("large", ("hand", "raftway"), 90)


def full() -> Iterator[Runs]:
    """Yield every family, with every load, every shape of orders and three seeds; it takes hours.

    Loads vary with steady orders, shapes and seeds with a load of 85 %.
    """
    for name in FAMILIES:
        contenders = OWN if name in BEYOND else EVERY
        if name == "huge":
            yield _runs(name, ("hand", "raftway"), SECONDS[name])
            continue
        for load in LOADS:
            yield _runs(name, contenders, SECONDS[name], load=load)
        for orders in SHAPES[1:]:
            yield _runs(name, contenders, SECONDS[name], orders=orders)
        for seed in (2, 3):
            yield _runs(name, contenders, SECONDS[name], seed=seed)


def growth(seconds: float) -> Iterator[Runs]:
    """Yield one farm with more weeks, more rows or more crops, planned by raftway and by hand."""
    base = FAMILIES["medium12"]
    sizes: list[tuple[int | None, int | None, int | None]] = [
        (26, None, None), (52, None, None), (104, None, None),
        (None, 14, None), (None, 28, None), (None, 56, None),
        (None, None, 6), (None, None, 24),
    ]  # fmt: skip
    for size in sizes:
        case = Case(family=resized(base, *size), load=85, orders="steady", seed=1)
        yield Runs(case=case, contenders=OWN, seconds=seconds)


def _runs(
    name: str,
    contenders: tuple[str, ...],
    seconds: float,
    load: int = 85,
    orders: str = "steady",
    seed: int = 1,
) -> Runs:
    case = Case(family=FAMILIES[name], load=load, orders=orders, seed=seed)
    return Runs(case=case, contenders=contenders, seconds=seconds)
