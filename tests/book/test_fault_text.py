"""The text of a fault: one line, and every sign of it can be seen."""

from scheduler.book.faults import FaultLog
from scheduler.book.place import Cell


def test_signs_that_cannot_be_seen_are_shown_as_question_marks():
    log = FaultLog()
    log.add(Cell("orders", 2, 1), "'\ufeffR1\n', which is no order", "one of 'R\u200b2', 'Zoë 漢字 🥬'", "x")
    (fault,) = log
    assert fault.found == "'?R1?', which is no order"
    assert fault.expected == "one of 'R?2', 'Zoë 漢字 🥬'"
