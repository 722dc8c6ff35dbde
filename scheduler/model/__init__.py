"""The planner: the only package that imports ortools."""
