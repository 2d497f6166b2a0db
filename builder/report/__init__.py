"""Findings and comparisons for terminals and machines."""
