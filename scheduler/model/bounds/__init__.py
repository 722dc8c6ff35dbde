"""A linear relaxation of a season: a limit that no plan of the farm can pass, whoever made it."""
