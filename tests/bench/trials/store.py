"""The best plan known for each farm, in a table beside the benchmark."""

import csv
import platform
from dataclasses import asdict, dataclass, fields
from importlib.metadata import version
from pathlib import Path

from scheduler import __version__

from .contenders import LIFTED
from .families import Case
from .record import Record

BEST = Path(__file__).parents[1] / "best.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The best known of one farm.

    ``book`` marks the tables it was found on: another mark is another farm, and what was known of the old one
    says nothing about it. Level 1 and 2 are the weighted shortages, short the heads of reported demand.
    """

    family: str
    load: int
    orders: str
    seed: int
    level_1: int
    level_2: int
    cost: float
    short_firm: int
    short_flexible: int
    ordered: int
    found_by: str
    seconds: float
    versions: str
    book: str

    @property
    def key(self) -> tuple[str, int, str, int]:
        """What tells one farm from others."""
        return self.family, self.load, self.orders, self.seed

    @property
    def rank(self) -> tuple[int, int, float]:
        """What plans are compared by; less is better."""
        return self.level_1, self.level_2, self.cost


def versions() -> str:
    """Return what a plan may depend on."""
    packages = ", ".join(f"{name} {version(name)}" for name in ("ortools", "highspy"))
    return f"raftway {__version__}, {packages}, Python {platform.python_version()}"


def read_best(file: Path = BEST) -> dict[tuple[str, int, str, int], Best]:
    """Return the stored bests by farm; none when there is no such file."""
    if not file.exists():
        return {}
    kinds = {field.name: field.type for field in fields(Best)}
    found = {}
    with file.open(encoding="utf-8", newline="") as text:
        for row in csv.DictReader(text):
            best = Best(**{name: kinds[name](value) for name, value in row.items()})  # type: ignore[operator,misc]
            found[best.key] = best
    return found


def write_best(bests: dict[tuple[str, int, str, int], Best], file: Path = BEST) -> None:
    """Write the stored bests, in order."""
    with file.open("w", encoding="utf-8", newline="") as text:
        writer = csv.DictWriter(text, [field.name for field in fields(Best)], lineterminator="\n")
        writer.writeheader()
        writer.writerows(asdict(bests[key]) for key in sorted(bests))


def keep_if_better(case: Case, record: Record, file: Path = BEST) -> bool:
    """Store a plan without faults if it is the best known; say whether it was.

    Farms of another size than their family's are not stored, nor plans that keep no order in the rows.
    """
    score = record.score
    if score is None or score.faults or not case.is_usual or record.contender == LIFTED:
        return False
    found = Best(
        family=case.family.name,
        load=case.load,
        orders=case.orders,
        seed=case.seed,
        level_1=score.level_1,
        level_2=score.level_2,
        cost=score.cost,
        short_firm=score.short_firm,
        short_flexible=score.short_flexible,
        ordered=score.ordered,
        found_by=record.contender,
        seconds=record.took,
        versions=versions(),
        book=record.book,
    )
    bests = read_best(file)
    known = bests.get(found.key)
    if known is not None and known.book == found.book and known.rank <= found.rank:
        return False
    write_best(bests | {found.key: found}, file)
    return True
