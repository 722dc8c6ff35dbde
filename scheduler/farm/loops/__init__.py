"""Loops of water: fish, what they are fed, and what the plants ask of it."""
