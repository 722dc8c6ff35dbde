"""What a replayed plan comes to: terminal, page, tables."""
