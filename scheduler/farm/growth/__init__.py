"""Light, sun and heat, the pace of growth they allow, and the days of stages, courses and pickings."""
