"""One rule of the plan a module."""
