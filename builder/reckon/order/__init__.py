"""The order: which step or repair comes next, given the evidence, and what that costs in the end."""
