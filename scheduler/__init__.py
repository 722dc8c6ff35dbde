"""Plans a floating-raft farm: what to sow, when each batch moves and where, so that every delivery is met."""

__version__ = "0.1.0"
