"""Room three: records and numbers to pictures (SVG)."""
