"""What leaves the page: calendar feeds, sheets for the refrigerator, tables."""
