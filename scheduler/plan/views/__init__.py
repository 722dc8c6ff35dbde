"""Views: what a page or a drawing shows of a finished plan, worked out from its rows as frozen data."""
