"""Named changes to a book: what if there were one more trough? They edit its tables, and nothing else."""
