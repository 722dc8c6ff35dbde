"""The crop library: one card per crop, each figure with its source or an honest mark."""
