"""The catalogue of activities: as a table, edited, copied, put away, scaled."""
