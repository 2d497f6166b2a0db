"""Templates, Markdown, views and lists: what people see."""
