"""What the service says, in another language, as it leaves the house.

Sentences are made, checked and kept in English. A table for each language gives every one of them once more,
with slots for what differs; on the way out each told field is turned by it. What a family typed stays.
"""

from service.tongues.turn import TONGUES, Tongue, tongue_of

__all__ = ["TONGUES", "Tongue", "tongue_of"]
