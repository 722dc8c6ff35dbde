"""A search in a thread of its own: what it finds or raises comes back, and Ctrl-C ends it softly."""

import os
import signal
import threading

import pytest

from scheduler.cli import stopping
from scheduler.cli.searching import searched


@pytest.fixture(autouse=True)
def heard_nothing():
    stopping.begin()
    yield
    stopping.begin()


def test_what_a_search_finds_comes_back():
    assert searched(lambda stop: stop.is_set()) is False


def test_what_it_raises_is_raised_here():
    def wrong(_stop):
        raise ValueError("no such thing")

    with pytest.raises(ValueError, match="no such thing"):
        searched(wrong)


def test_ctrl_c_asks_it_to_end_and_keeps_what_it_found(capsys):
    def pressed(stop):
        os.kill(os.getpid(), signal.SIGINT)
        return stop.wait(20)

    before = signal.getsignal(signal.SIGINT)
    assert searched(pressed) is True
    assert "Asked to end" in capsys.readouterr().err
    assert signal.getsignal(signal.SIGINT) is before


def test_ctrl_c_twice_quits():
    def pressed_twice(stop):
        os.kill(os.getpid(), signal.SIGINT)
        stop.wait(20)
        os.kill(os.getpid(), signal.SIGINT)
        threading.Event().wait(1)

    with pytest.raises(KeyboardInterrupt):
        searched(pressed_twice)
