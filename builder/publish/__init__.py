"""Room four: everything to files (pages, assets, the site folder)."""
