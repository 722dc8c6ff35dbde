"""Areas made of rectangles: their outline as polygons, and the best place for a label in them."""

from collections import defaultdict
from collections.abc import Iterable

Rectangle = tuple[int, int, int, int]
"""Left, right, low and high edge in whole numbers."""

Point = tuple[int, int]


class Area:
    """What some rectangles cover together."""

    def __init__(self, rectangles: Iterable[Rectangle]) -> None:
        """Lay the rectangles on a grid of all their edges."""
        given = [each for each in rectangles if each[0] < each[1] and each[2] < each[3]]
        self.xs = sorted({x for left, right, _, _ in given for x in (left, right)})
        self.ys = sorted({y for _, _, low, high in given for y in (low, high)})
        column = {x: at for at, x in enumerate(self.xs)}
        row = {y: at for at, y in enumerate(self.ys)}
        self._covered = [[False] * max(0, len(self.xs) - 1) for _ in self.ys[1:]]
        for left, right, low, high in given:
            for at in range(row[low], row[high]):
                for across in range(column[left], column[right]):
                    self._covered[at][across] = True

    def outlines(self) -> list[list[Point]]:
        """Return the polygons around the area, and around holes in it; corners only."""
        following: dict[Point, list[Point]] = defaultdict(list)
        for start, end in self._edges():
            following[start].append(end)
        loops = []
        for first in list(following):
            while following[first]:
                loop = [first]
                while True:
                    at = following[loop[-1]].pop()
                    if at == first:
                        break
                    loop.append(at)
                loops.append(_corners(loop))
        return loops

    def _edges(self) -> Iterable[tuple[Point, Point]]:
        """Yield the border of the area piece by piece, the area always on the same hand."""
        for at, line in enumerate(self._covered):
            low, high = self.ys[at], self.ys[at + 1]
            for across, there in enumerate(line):
                if not there:
                    continue
                left, right = self.xs[across], self.xs[across + 1]
                if not self._is_covered(at - 1, across):
                    yield (left, low), (right, low)
                if not self._is_covered(at, across + 1):
                    yield (right, low), (right, high)
                if not self._is_covered(at + 1, across):
                    yield (right, high), (left, high)
                if not self._is_covered(at, across - 1):
                    yield (left, high), (left, low)

    def _is_covered(self, at: int, across: int) -> bool:
        return (
            0 <= at < len(self._covered)
            and 0 <= across < len(self._covered[at])
            and self._covered[at][across]
        )

    def roomiest(self, width: float, height: float) -> Rectangle | None:
        """Return the largest rectangle within the area that is at least so wide and high, if there is one."""
        best: Rectangle | None = None
        for low in range(len(self._covered)):
            line = list(self._covered[low])
            for high in range(low, len(self._covered)):
                line = [here and there for here, there in zip(line, self._covered[high], strict=True)]
                if self.ys[high + 1] - self.ys[low] < height:
                    continue
                left, right = self._longest(line)
                found = (left, right, self.ys[low], self.ys[high + 1])
                if right - left >= width and (best is None or _size(found) > _size(best)):
                    best = found
        return best

    def _longest(self, line: list[bool]) -> tuple[int, int]:
        best = (0, 0)
        start = None
        for at, there in enumerate([*line, False]):
            if there and start is None:
                start = at
            elif not there and start is not None:
                best = max(best, (self.xs[start], self.xs[at]), key=lambda run: run[1] - run[0])
                start = None
        return best


def _size(found: Rectangle) -> int:
    return (found[1] - found[0]) * (found[3] - found[2])


def _corners(loop: list[Point]) -> list[Point]:
    """Leave out points on straight stretches."""
    kept = []
    for at, point in enumerate(loop):
        before, after = loop[at - 1], loop[(at + 1) % len(loop)]
        if not (before[0] == point[0] == after[0] or before[1] == point[1] == after[1]):
            kept.append(point)
    return kept
