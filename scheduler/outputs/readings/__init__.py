"""Readings of the water: a page for the terminal, a drawing, and their temperatures as rows of a new book."""
