"""Everything to files: the site's folder."""
