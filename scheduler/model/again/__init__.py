"""Planning again from what stands, with the plan before as the start of the search."""
