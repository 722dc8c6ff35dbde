"""Exit codes of every command, and what is said when raftway itself is at fault."""

DONE = 0
FAULTY_BOOK = 1
WRONG_USE = 2
SHORT = 3
BREAKS_A_RULE = 3
NO_PLAN = 4
OUR_FAULT = 5
STOPPED = 130
"""What shells give a command that was stopped by its user."""

WHERE_TO_REPORT = "Please report it to those you have raftway from, with the book if you may share it."
OWN_FAULT = f"raftway has a fault of its own: its plan breaks these rules. {WHERE_TO_REPORT}"
"""What is said of a plan of our own that the audit refuses."""
