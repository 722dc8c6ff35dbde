"""Why deliveries are short and what would fill them, each relief proven by a plan."""

from scheduler.model.explain.causes import Explanation, explain
from scheduler.model.explain.order import order_cost

__all__ = ["Explanation", "explain", "order_cost"]
