"""The grower's tables in: cells, faults and the schema that drives both."""
