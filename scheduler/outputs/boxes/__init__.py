"""Sheets for the customers of box shares: what is in the box this week."""
