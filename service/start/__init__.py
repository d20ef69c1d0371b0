"""From six answers to a week worth keeping."""
