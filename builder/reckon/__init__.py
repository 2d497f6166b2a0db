"""Room two: records to numbers. Pure functions; no files, no pages."""
