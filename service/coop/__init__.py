"""A day shared with other families: who comes, who brings what, who steps in."""
