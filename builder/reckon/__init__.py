"""Records to numbers: graph, bill, odds, expectations, paths, trials, advice. Pure functions; no files, no pages."""
