"""Layout: turns decided amounts into the rows of a plan, unit by unit, slot by slot and task by task.

It decides nothing about growing: which tray, board or raft holds which plants, where each one stands and
what it is called. It is quick, uses no randomness, and gives the same plan for the same amounts.
"""

from scheduler.plan.layout.plan import lay_out

__all__ = ["lay_out"]
