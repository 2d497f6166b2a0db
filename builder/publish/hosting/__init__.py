"""What hosts and devices need: the service worker's list, archive, headers, uploads, feed, structured data."""
