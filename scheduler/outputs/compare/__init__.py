"""Farms side by side: on the screen, as a page to print, and as a workbook."""
