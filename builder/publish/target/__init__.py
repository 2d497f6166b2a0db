"""The target: the folder that a site is put into, and what of it is whose."""
