"""Ways to break one rule of a sound plan, and the faults of other rules that each may bring with it.

An operator takes a farm and a plan that the audit passes, and returns them broken, or None where the plan
has nothing it could act on. Totals are worked out again after it, unless it is the totals that it breaks.
Faults of bookkeeping may always come with another: rows that agreed with each other no longer do.
"""

import fuzz.broken_amounts
import fuzz.broken_days
import fuzz.broken_places
import fuzz.broken_totals  # noqa: F401 - each notes its operators
from fuzz.operators import OPERATORS, Operator

__all__ = ["OPERATORS", "Operator"]
