"""What a farm carries every week: on the screen, as a page with curves, and as tables."""
