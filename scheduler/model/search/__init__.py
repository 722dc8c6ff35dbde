"""From one plan to a better one: a part is freed, solved again, and kept if it is better."""
