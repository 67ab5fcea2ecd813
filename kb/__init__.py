"""The knowledge base: science, calculators, articles, matching, readings and the question log."""
