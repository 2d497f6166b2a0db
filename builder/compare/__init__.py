"""Two libraries to what a change means: sides, losses, numbers, paths."""
