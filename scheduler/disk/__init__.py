"""Writing to the disk: files and folders whole or not at all; knows nothing of books and plans."""
