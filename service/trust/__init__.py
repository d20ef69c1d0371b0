"""A small authority of the family's own, so that its tablets may trust this machine's https."""
