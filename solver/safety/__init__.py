"""Safety is a gate, not advice: an activity, who is about, and what that asks. No OR-Tools."""

from solver.safety.gates import GATES, Gate
from solver.safety.requirement import Requirement, requirement

__all__ = ["GATES", "Gate", "Requirement", "requirement"]
