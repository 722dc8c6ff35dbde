"""Records of what really happened: an append-only log, and what stands where by it."""
