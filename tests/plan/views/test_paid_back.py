"""When a change has paid for itself."""

from fractions import Fraction

from scheduler.plan.views.paid_back import paid_back

WEEKS = [(7 * week, 7 * week + 6) for week in range(6)]


def of(gains, start=0, once=0, weekly=0):
    return paid_back(WEEKS, [Fraction(gain) for gain in gains], start, (once, weekly))


def test_a_price_is_paid_back_in_the_week_in_which_the_sum_reaches_it():
    found = of([0, 0, 100, 100, 100, 100], start=7, once=250)
    assert (found.week, found.weeks) == (4, 4)
    assert found.in_all == 400
    assert found.earns_from == 2


def test_what_is_lost_again_before_the_last_week_is_not_paid_back():
    found = of([300, 0, 0, -100, 0, 0], once=250)
    assert found.week is None
    found = of([300, 0, 0, -100, 80, 0], once=250)
    assert (found.week, found.weeks) == (4, 5)


def test_running_costs_count_by_the_day_from_the_first_on():
    found = of([0] * 6, start=10, weekly=70)
    assert found.gained == (0, -40, -110, -180, -250, -320)
    assert found.earns_from is None
    assert found.weeks is None


def test_the_price_is_spent_in_the_week_of_the_first_day():
    found = of([5] * 6, start=8, once=100)
    assert found.net == (0, -95, -90, -85, -80, -75)


def test_without_a_price_there_is_nothing_to_pay_back():
    found = of([10] * 6)
    assert (found.week, found.weeks, found.earns_from) == (None, None, 0)


def test_what_is_gained_before_the_first_day_is_luck_and_does_not_count():
    found = of([40, 0, 100, 100, 0, 0], start=14, once=150)
    assert found.luck == 40
    assert found.gained == (0, 0, 100, 200, 200, 200)
    assert (found.week, found.weeks) == (3, 2)


def test_what_is_spent_before_the_first_day_does_count():
    found = of([0, -30, 100, 100, 0, 0], start=14, once=150)
    assert found.luck == 0
    assert found.gained == (0, -30, 70, 170, 170, 170)
