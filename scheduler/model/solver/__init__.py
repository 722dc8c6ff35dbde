"""The solver as a part: its engine, and models as plain rows."""
