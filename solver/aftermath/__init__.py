"""What a mishap does to the week, before anybody mends it: who is out, what stands, what goes on alone.

The physical world goes on: what was past stays, prep that was done is done, paint dries and dough rises.
"""

from solver.aftermath.happened import aftermath
from solver.aftermath.state import Aftermath
from solver.aftermath.today import with_prep_after_all
from solver.domain.base import Mess

EASY_MESS = Mess.CRUMBS
EASY_SET_UPS = 2

__all__ = ["EASY_MESS", "EASY_SET_UPS", "Aftermath", "aftermath", "with_prep_after_all"]
