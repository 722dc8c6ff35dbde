"""Why deliveries are short and what would fill them, each relief proven by a plan."""

from scheduler.model.explain.causes import Explanation, explain

__all__ = ["Explanation", "explain"]
