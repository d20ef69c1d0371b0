"""mend(): what happened → at most three offers, each the least change of its kind.

The past is frozen, what the parent set stays, nothing is added. Then, in tiers: promises, staples, fewest
weighted changes (what the children were told and what is near weigh more), worth, rhythm.
"""

from solver.mend.offers import mend

__all__ = ["mend"]
