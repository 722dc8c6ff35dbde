"""What is proven about a search while it goes on: limits that no plan can pass, found beside it.

The limits do not depend on how the search goes, only on how short its plan is: what holds for plans as short
as that holds for better ones too. So a limit stays true while the plan gets better.
"""

import threading
from dataclasses import dataclass, field

from scheduler.model.bounds.bound import Bounds, Effort, stages
from scheduler.model.options.frame import Frame
from scheduler.model.search.incumbent import Score
from scheduler.model.solver.engine import Engine

SHARE = 0.2
"""Share of a search's time that one run may take, of one thread."""

UNITS = 0.3
"""Deterministic mode: the solver's units for all limits together, as a share of those of the search."""

EARLY, MANY_WISHES = 0.5, 300
"""Share of the search after which, and wishes from which, the limit of firm shortage has to wait: writing the
relaxation of a large book takes time that the first repairs need more."""

LATE = 0.8
"""Share of the search after which all limits are looked for, whatever is still short."""

PATIENCE = 0.5
"""Seconds a run has to end after it was asked to."""


@dataclass(slots=True)
class _Known:
    """Limits with the shortages of the plan they were asked for; they hold for plans no shorter."""

    firm: int = 0
    flexible: list[tuple[int, int]] = field(default_factory=list)
    cost: list[tuple[tuple[int, int], int]] = field(default_factory=list)


class Proof:
    """The limits of one search.

    By the clock they are found in a thread of their own, one run at a time; in deterministic mode in between,
    at steps that are always the same.
    """

    def __init__(self, engine: Engine, frame: Frame) -> None:
        """Take the season."""
        self._engine, self._frame = engine, frame
        self._known = _Known()
        self._lock = threading.Lock()
        self._thread: threading.Thread | None = None
        self._halt = threading.Event()
        self._firm_known = False
        self._asked: tuple[int, int] | None = None

    def add(self, level: int, least: int, firm: int) -> None:
        """Add a limit of a level's shortage that was proven otherwise, for plans no shorter in ``firm``."""
        with self._lock:
            if level == 1:
                self._known.firm = max(self._known.firm, least)
            else:
                self._known.flexible.append((firm, least))

    def least(self, level: int, score: Score) -> int:
        """Return the least weighted shortage of a level that a plan as good as one of that score can have.

        A limit that the plan itself passes is wrong, as when a farm has something the relaxation does not
        know: then nothing is known.
        """
        with self._lock:
            found = self._known.firm
            if level != 1:
                found = max((least for firm, least in self._known.flexible if score[0] <= firm), default=0)
        return found if found <= score[level - 1] else 0

    def settled(self, level: int, score: Score) -> bool:
        """Say whether no plan is less short in a level than one of that score."""
        return score[level - 1] <= self.least(level, score)

    def least_cost(self, score: Score) -> int | None:
        """Return the least cost of a plan no shorter than one of that score; None where nothing is known."""
        with self._lock:
            found = [
                cost for (firm, flexible), cost in self._known.cost
                if score[0] <= firm and score[1] <= flexible
            ]  # fmt: skip
        return max(found, default=None)

    def look(self, score: Score, shortages_done: bool = False) -> None:
        """Begin to look for what is not known yet about plans as good as one of that score.

        Firm shortage first, as it says whether more is to be searched there; the rest once, when shortages
        are no longer searched or late in the search.
        """
        if self._engine.stopped or self._busy():
            return
        seconds = self._engine.settings.seconds
        late = shortages_done or self._engine.spent >= LATE * seconds
        if late and self._asked is None:
            self._begin(score[:2])
        early = len(self._frame.wishes) > MANY_WISHES and self._engine.spent < EARLY * seconds
        if not late and score[0] and not self._firm_known and not early:
            self._begin(None)

    def prove(self, score: Score) -> None:
        """Find what is not known about plans as good as one of that score in the time that is left."""
        self._wait()
        if not self._ends() and self._asked != score[:2]:
            self._run(score[:2])
        self._halt.set()

    def _begin(self, reached: tuple[int, int] | None) -> None:
        if self._engine.settings.deterministic:
            self._run(reached)
        else:
            self._thread = threading.Thread(target=self._run, args=(reached,), name="limits", daemon=True)
            self._thread.start()

    def _busy(self) -> bool:
        return self._thread is not None and self._thread.is_alive()

    def _wait(self) -> None:
        """Let a run beside the search go on while there is time left, then end it."""
        while self._thread is not None and self._busy() and not self._engine.stopped:
            self._thread.join(0.05)
        if self._thread is not None and self._busy():
            self._halt.set()
            self._thread.join(PATIENCE)

    def _run(self, reached: tuple[int, int] | None) -> None:
        """Find limits; without ``reached`` that of the firm shortage alone."""
        settings = self._engine.settings
        seconds = settings.seconds * UNITS
        if not settings.deterministic:
            seconds = min(settings.seconds * SHARE, self._engine.left)
        effort = Effort(seconds=seconds, deterministic=settings.deterministic, stop=self._ends)
        firm = self._known.firm if self._firm_known else None
        self._asked = reached
        try:
            for found in stages(self._frame.farm, self._frame, reached, effort, firm):
                self._take(found, reached)
                if reached is None:
                    return
        except MemoryError:
            return  # a plan without its limits is better than none

    def _ends(self) -> bool:
        if self._halt.is_set() or self._engine.asked_to_stop:
            return True
        # The solver's units are those of the limits' own here, not of the search.
        return not self._engine.settings.deterministic and self._engine.stopped

    def _take(self, found: Bounds, reached: tuple[int, int] | None) -> None:
        with self._lock:
            self._known.firm, self._firm_known = max(self._known.firm, found.firm), True
            if reached is not None:
                self._known.flexible.append((reached[0], found.flexible))
                # A limit below nothing, as waste counted in fractions may give, says nothing.
                if found.cost is not None and found.cost >= 0:
                    self._known.cost.append((reached, found.cost))
