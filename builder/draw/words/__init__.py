"""Words around a figure that say what it means, as data: one file for each language."""
