"""Many answers side by side: items run by any executor, kept as they come, and run again when one is lost."""
