"""What really happened, in words: the state of the farm on a screen, and a trace to print."""
