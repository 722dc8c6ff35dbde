"""Fish feed against what the plants ask, for paper, screen and workbook; a planning aid, tests decide."""

DECIDE = (
    "A planning aid: test the water (ammonia, nitrite, nitrate, pH, oxygen) and look at the plants; "
    "those decide."
)
"""What stands under every balance of feed."""
