"""A part of a model on its own: some variables stay free, all others become numbers.

Handing the solver the whole model with most variables fixed gives the same answers, but it would spend
its time on taking the fixed ones out again (measured: seconds a step on a farm of 27 weeks).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python.cp_model import CpModel

from scheduler.model.solver.sparse import Sparse
from scheduler.model.solver.written import Row, read_model
from scheduler.model.variables.decisions import Pulse, no_pulse


@dataclass(frozen=True, slots=True, kw_only=True)
class PartModel:
    """A part as a model of its own; ``index`` lists the whole model's variables it has, in its own order."""

    model: CpModel
    index: tuple[int, ...]
    hint: tuple[int, ...]

    def whole(self, values: Sequence[int], part: Sequence[int]) -> list[int]:
        """Put the part's answer into the whole one."""
        merged = list(values)
        for position, variable in enumerate(self.index):
            merged[variable] = part[position]
        return merged


class Parts:
    """Cuts parts out of one model; the model may hold linear constraints and implications only."""

    def __init__(self, model: CpModel, pulse: Pulse = no_pulse) -> None:
        """Read the model once; ``pulse`` is called here and while a part is cut, and may raise to end it."""
        self._pulse = pulse
        self._written = read_model(model, pulse)
        pulse()
        self._sparse = Sparse(self._written)

    @property
    def count(self) -> int:
        """The number of constraints."""
        return len(self._written.low)

    def rows(self, first: int, end: int) -> Iterator[Row]:
        """Yield the constraints from ``first`` up to, not including, ``end``."""
        return self._written.rows(first, end)

    def cut(
        self,
        values: Sequence[int] | NDArray[np.int64],
        free: Iterable[int],
        most: Mapping[int, int] | None = None,
        highs: Mapping[int, int] | None = None,
    ) -> PartModel:
        """Return the part of the model in which only ``free`` variables may differ from ``values``.

        ``most`` lowers the upper limit of some of them, ``highs`` gives some rows another highest value.
        """
        self._pulse()
        index = np.unique(free if isinstance(free, np.ndarray) else np.fromiter(free, dtype=np.int64))
        now = np.asarray(values, dtype=np.int64)
        model = CpModel()
        text = self._sparse.part(now, index, most or {}, highs or {})
        self._pulse()
        if not model.proto.parse_text_format(text):
            raise ValueError("a part of the model could not be written")
        return PartModel(
            model=model,
            index=tuple(index.tolist()),
            hint=tuple(now[index].tolist()),
        )

    def variables_of(self, row: int) -> set[int]:
        """Return the variables of a constraint, by its number in :meth:`broken`."""
        return self._sparse.variables_of(row)

    def broken(self, values: Sequence[int]) -> list[int]:
        """Return the numbers of the constraints an answer breaks."""
        return self._sparse.broken(np.asarray(values, dtype=np.int64))

    def beyond(self, values: Sequence[int]) -> list[int]:
        """Return the variables whose value lies outside their own limits."""
        return self._sparse.beyond(np.asarray(values, dtype=np.int64))

    def allows(self, values: Sequence[int], changed: Iterable[int]) -> bool:
        """Say whether an answer keeps every constraint in which one of the changed variables stands."""
        numbers = np.fromiter(changed, dtype=np.int64)
        return self._sparse.allows(np.asarray(values, dtype=np.int64), numbers)

    def holds(self, values: Sequence[int]) -> bool:
        """Say whether an answer keeps every constraint and every variable's limits."""
        return not self.beyond(values) and not self.broken(values)
