"""Answers of the solver as plain amounts, and plans as answers."""
