"""What stands on paper: batches, where their rafts float, and what deliveries take of them."""

from collections import defaultdict
from dataclasses import dataclass, field

from scheduler.model.first.ledger import Stay
from scheduler.model.options.options import Cutting, RaftSet, TrayOut
from scheduler.model.variables.decisions import Decisions, Queue, RaftLot, TrayLot, lot_of


@dataclass(frozen=True, slots=True)
class Give:
    """Heads of one cut of a batch that go into a parcel."""

    parcel: int
    cut: int
    day: int
    heads: int


@dataclass(slots=True, eq=False)
class Berth:
    """Rafts of a batch in one queue, and the day on which the last plant of them is cut."""

    queue: Queue
    stay: Stay
    emptied: int


@dataclass(slots=True, eq=False)
class Batch:
    """Plants of one way on full rafts of their own, or in trays that they are cut in.

    Attributes:
        left: plants of a crop cut once that no delivery has claimed yet; they stand on the last berth.
        cuts: plants that are cut, by step.
        spare: of a crop cut again or in its trays, (cut number, day) -> heads that nobody has taken yet.
        gives: what deliveries take of it.
        berths: where its rafts stand.
        rows: rows of trays that are cut as they stand.
    """

    option: RaftSet | TrayOut
    plants: int
    left: int = 0
    cuts: dict[Cutting, int] = field(default_factory=lambda: defaultdict(int))
    spare: dict[tuple[int, int], int] = field(default_factory=dict)
    gives: list[Give] = field(default_factory=list)
    berths: list[Berth] = field(default_factory=list)
    rows: int = 0

    @property
    def cuttings(self) -> tuple[Cutting, ...]:
        """The cuts its rafts may have."""
        return () if isinstance(self.option, TrayOut) else self.option.cuttings

    def lot_in(self, chosen: Decisions) -> RaftLot | TrayLot:
        """Return the lot whose heads are counted together with its own."""
        option = self.option
        return TrayLot(*lot_of(option)) if isinstance(option, TrayOut) else chosen.raft_lots[option]
