"""Areas of rectangles: outlines enclose just what is covered, and labels get the largest room."""

from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.outputs.drawings.area import Area

SIZE = 7
EDGE = st.lists(st.integers(0, SIZE), min_size=2, max_size=2, unique=True).map(sorted)
RECTANGLES = st.lists(st.tuples(EDGE, EDGE).map(lambda edges: (*edges[0], *edges[1])), max_size=6)


def cells(rectangles):
    return {
        (x, y) for left, right, low, high in rectangles for x in range(left, right) for y in range(low, high)
    }


def inside(loops, x, y):
    """Count the borders between a cell and the left: an odd number means that it is inside."""
    crossed = 0
    for loop in loops:
        for (x1, y1), (x2, y2) in zip(loop, [*loop[1:], loop[0]], strict=True):
            crossed += x1 == x2 and x1 <= x and min(y1, y2) <= y < max(y1, y2)
    return crossed % 2 == 1


@settings(max_examples=60, deadline=None, derandomize=True)
@given(rectangles=RECTANGLES)
def test_outlines_enclose_what_is_covered_and_nothing_else(rectangles):
    loops = Area(rectangles).outlines()
    found = {(x, y) for x in range(SIZE) for y in range(SIZE) if inside(loops, x, y)}
    assert found == cells(rectangles)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(rectangles=RECTANGLES, width=st.integers(1, 4), height=st.integers(1, 4))
def test_the_roomiest_rectangle_is_covered_and_none_is_larger(rectangles, width, height):
    covered = cells(rectangles)
    best = Area(rectangles).roomiest(width, height)
    sizes = [
        (right - left) * (high - low)
        for left in range(SIZE)
        for right in range(left + width, SIZE + 1)
        for low in range(SIZE)
        for high in range(low + height, SIZE + 1)
        if cells([(left, right, low, high)]) <= covered
    ]
    assert (best is None) == (not sizes)
    if best is not None:
        assert cells([best]) <= covered
        assert (best[1] - best[0]) * (best[3] - best[2]) == max(sizes)


def test_two_rectangles_side_by_side_have_one_outline_without_needless_corners():
    assert [sorted(loop) for loop in Area([(0, 2, 0, 1), (2, 5, 0, 1)]).outlines()] == [
        [(0, 0), (0, 1), (5, 0), (5, 1)]
    ]
