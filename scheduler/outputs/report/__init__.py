"""The printable report: one page of HTML that needs nothing beside itself."""
