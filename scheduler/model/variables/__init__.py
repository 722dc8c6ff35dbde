"""The variables of a model over its options, and the container that rules and goals read."""
