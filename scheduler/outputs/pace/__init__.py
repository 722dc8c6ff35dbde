"""Pace of growth by week: a curve, and the days crops take by the week they are sown."""
