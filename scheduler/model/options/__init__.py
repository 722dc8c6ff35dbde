"""What could be: days, places that are alike, and every batch and planting."""
