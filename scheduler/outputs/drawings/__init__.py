"""Drawings of a plan as SVG: what stands in a trough or on a shelf on a day, and how lots flow through it.

Every drawing stands alone: its ids begin with its kind, place and day, so that many fit into one page.
"""

from scheduler.outputs.drawings.flow import flow_sheets, flow_svg
from scheduler.outputs.drawings.shelf import shelf_sheets, shelf_svg
from scheduler.outputs.drawings.trough import trough_sheets, trough_svg

__all__ = [
    "flow_sheets",
    "flow_svg",
    "shelf_sheets",
    "shelf_svg",
    "trough_sheets",
    "trough_svg",
]
