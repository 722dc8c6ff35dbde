"""Lot labels for trays, boards and rafts, as HTML sheets that print in exact millimetres."""
