"""Pages of whole rows: nothing is passed over, nothing is cut that has room."""

from __future__ import annotations

from itertools import accumulate, pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.ui.widgets.whole_rows import LEAST_SHARE, NEAR_PX, Paging, Row

UNHURRIED = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
HEIGHTS = st.lists(st.integers(20, 700), min_size=1, max_size=12)


def paging(heights: list[int], room: float) -> Paging:
    ends = [0, *accumulate(heights)]
    rows: list[Row] = [(float(top), float(low)) for top, low in pairwise(ends)]
    return Paging(rows, float(ends[-1]), room)


def walked(made: Paging) -> list[tuple[float, float]]:
    """Start and end of every page from the top down."""
    found = [made.page(0.0)]
    while found[-1][0] < made.last - NEAR_PX:
        start = made.after(found[-1][0])
        assert start > found[-1][0]
        found.append(made.page(start))
    return [(start, start + high) for start, high in found]


@pytest.mark.parametrize(
    ("heights", "pages"),
    [
        ([72] * 10, [(0, 288), (288, 576), (432, 720)]),  # four to a page, the last page full
        ([100, 200, 100], [(0, 300), (100, 400)]),
        ([20, 400, 50], [(0, 300), (20, 320), (170, 470)]),  # one higher than the place is cut
    ],
)
def test_a_page_ends_with_a_whole_row(heights, pages):
    assert walked(paging(heights, 300.0)) == pages


@UNHURRIED
@given(HEIGHTS, st.integers(100, 500))
def test_everything_comes_into_view_on_the_way_down(heights, room):
    made = paging(heights, float(room))
    seen = walked(made)
    assert seen[0][0] == 0
    assert made.total - NEAR_PX <= seen[-1][1] <= made.total + NEAR_PX
    for (_, end), (start, _) in pairwise(seen):
        assert start <= end + NEAR_PX


@UNHURRIED
@given(HEIGHTS, st.integers(100, 500))
def test_a_row_is_cut_only_where_whole_ones_would_leave_half_a_page_empty(heights, room):
    made = paging(heights, float(room))
    tops = [top for top, _ in made.rows]
    for start, end in walked(made)[:-1]:
        cut = [(top, low) for top, low in made.rows if top < end - NEAR_PX and low > end + NEAR_PX]
        if cut and start in tops:
            assert cut[0][0] - start < LEAST_SHARE * room


@UNHURRIED
@given(HEIGHTS, st.integers(100, 500))
def test_the_way_up_ends_at_the_top(heights, room):
    made = paging(heights, float(room))
    start = made.last
    for _ in range(1000):
        if start <= NEAR_PX:
            break
        before = made.before(start)
        assert before < start
        start = before
    assert start <= NEAR_PX


@UNHURRIED
@given(HEIGHTS, st.integers(100, 500), st.data())
def test_a_row_that_is_asked_for_is_in_view(heights, room, data):
    made = paging(heights, float(room))
    top, low = data.draw(st.sampled_from(made.rows))
    start, high = made.page(made.showing(data.draw(st.floats(0, made.total)), (top, low)))
    if low - top <= room:
        assert start - NEAR_PX <= top
        assert low <= start + high + NEAR_PX
