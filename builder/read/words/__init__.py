"""Hazard words: the words and phrases that call for a hazard, found in all their forms and disguises."""
