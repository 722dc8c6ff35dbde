"""Answers from a plan, each on one screen of 80 columns."""
