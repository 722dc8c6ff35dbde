"""The plan as one workbook: what is reached, what to do, and the sums by week, ready to print and fill in."""

from scheduler.outputs.workbook.book import plan_workbook

__all__ = ["plan_workbook"]
