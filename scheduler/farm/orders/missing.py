"""What is missing, weighed: a unit of a delivery, or what boxes lack."""


def weight_of_missing(money: int, priority: int, *, reported: bool) -> int:
    """Return what hundredths of money that are missing weigh, at least 1: ten times more a rank.

    What is wanted past the last reported day keeps the farm from ending empty, and weighs a thousandth, so
    that it is not served in place of what is reported (but for the two lowest ranks).

    Args:
        money: what is missing, hundredths of money.
        priority: 1 to 5; 1 is served first.
        reported: whether it is wanted by the last reported day.
    """
    weight: int = max(money, 1) * 10 ** (5 - priority)
    return weight if reported else max(1, weight // 1000)
