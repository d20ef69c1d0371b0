"""Files that a family keeps: printables of activities."""
