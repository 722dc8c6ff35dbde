"""Invented farms of stated load, several ways of planning them, and one judge for all."""
