"""witnessmark: what a piece of furniture is, what to do about it, when, how safely and at what cost.

What was seen goes in as three documents (a survey, the shop, the day book); a plan and its papers come out.
Each room of the house is a package here; rooms import only downward, in the order pyproject.toml lists them.
"""

__version__ = "0.1.0"
