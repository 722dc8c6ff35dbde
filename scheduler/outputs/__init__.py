"""Format only: tables, calendar and terminal pages from a finished plan."""
