"""What the browser gets: the model of a playbook, the search index, the schema of jobs."""
